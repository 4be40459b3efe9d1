/* Keeps this site's pages for a place without a network. Written at the end of each build; the list
 * below is its own.
 *
 * Pages go to the network first, so that no old copy hides a new revision; a copy answers when the
 * network fails or is silent for PATIENCE. Two stores: KEPT answers; AHEAD collects a new version
 * until it is complete, and is then moved into KEPT, so that pages and their scripts of two
 * versions don't mix and a half-finished fetch goes on where it stopped. */
'use strict';

/* {{summary}} */
const VERSION = '{{version}}';
const LIST = {{list}};

const PATIENCE = 3500;
const GIVEN_UP = 30000;
const AT_ONCE = 3;
const ROOT = new URL('./', self.location);
const KEPT = 'bench-1-kept ' + ROOT.pathname;
const AHEAD = 'bench-1-ahead ' + ROOT.pathname;
const DONE = new URL('sw.js?complete', ROOT).href;
const HASHED = /\.[0-9a-f]{8,}\.min\.(css|js)$/;

const served = {}; // by path: what the page that was opened last is made of
let silent = 0; // until when the files of a page needn't wait for a network that hangs
let running = null; // the fetching ahead that goes on
let leaving = false;

self.addEventListener('install', () => self.skipWaiting());

self.addEventListener('activate', event => event.waitUntil(takeOver()));

async function takeOver() {
  for (const name of await caches.keys()) {
    const own = /^bench-\S+ /.test(name) && name.endsWith(' ' + ROOT.pathname);
    if (own && name !== KEPT && name !== AHEAD) await caches.delete(name);
  }
  await self.clients.claim();
}

self.addEventListener('fetch', event => {
  const { request } = event;
  if (leaving || request.method !== 'GET' || request.headers.has('range')) return;
  const path = ours(request.url);
  if (path !== null) event.respondWith(answer(event, path));
  else if (request.mode === 'navigate') event.respondWith(fetch(request).catch(nowhere));
});

self.addEventListener('message', event => {
  const { ask, page } = event.data || {};
  const path = ours(page || '');
  const replies = {
    ahead,
    mine: async () => ({ of: path && address(path), ...served[path] }),
    check: async () => ({ of: path && address(path), digest: await check(path) }),
    leave,
  };
  const answers = reply => event.ports[0] && event.ports[0].postMessage(reply);
  if (replies[ask]) event.waitUntil(replies[ask]().then(answers));
});

/* The file of this site that an address means, or null. Queries and fragments mean nothing; hosts
 * may leave out .html, or put a slash in its place. */
function ours(text) {
  let path;
  try {
    const url = new URL(text);
    if (url.origin !== ROOT.origin || !url.pathname.startsWith(ROOT.pathname)) return null;
    path = decodeURIComponent(url.pathname.slice(ROOT.pathname.length));
  } catch {
    return null;
  }
  const bare = path.replace(/\/+$/, '');
  const folder = path.endsWith('/') || !path ? path : path + '/';
  const meant = [path, folder + 'index.html', bare + '.html'];
  return meant.find(one => Object.hasOwn(LIST, one)) ?? null;
}

function address(path) {
  return new URL(path.split('/').map(encodeURIComponent).join('/'), ROOT).href;
}

/* Opening a store makes it: not while all are being taken away. */
function store(name) {
  return leaving ? Promise.reject(new Error('leaving')) : caches.open(name);
}

async function copyOf(path) {
  for (const name of [KEPT, AHEAD]) {
    const found = await (await store(name)).match(address(path));
    if (found) return found;
  }
}

async function answer(event, path) {
  const { request } = event;
  const page = request.mode === 'navigate';
  // links in the page start from its own folder
  if (page && new URL('.', request.url).href !== new URL('.', address(path)).href)
    return Response.redirect(address(path) + new URL(request.url).search);
  const copy = await copyOf(path).catch(() => {});
  if (copy && !page && (HASHED.test(path) || Date.now() < silent)) return copy;

  let silence;
  const over = new Promise(resolve => {
    silence = timer(PATIENCE, resolve);
  });
  const getting = get(path, request.url, silence.beat);
  const visit = got => got.digest && visited(path, got);
  event.waitUntil(getting.then(visit, () => {}));
  let got;
  let why = 'No network';
  try {
    got = await (copy ? Promise.race([getting, over]) : getting);
    if (!got) silent = Date.now() + 15000;
    else if (got.response.status >= 500 && copy) [got, why] = [null, 'The server fails'];
    else silent = 0;
  } catch {
    const sent = page && (await elsewhere(request.url));
    if (sent) return sent;
  } finally {
    silence.stop();
  }
  if (got) {
    if (page) served[path] = { digest: got.digest };
    return got.response;
  }
  if (!copy) return page ? nothing() : Response.error();
  const known = name => copy.headers.get(name);
  if (page) served[path] = { digest: known('x-bench-digest'), copied: known('x-bench-kept'), why };
  return copy;
}

/* Calls `act` when nothing has called `beat` for `time` milliseconds. */
function timer(time, act) {
  let waiting;
  const stop = () => clearTimeout(waiting);
  const beat = () => {
    stop();
    waiting = setTimeout(act, time);
  };
  beat();
  return { beat, stop };
}

/* A sign-in page elsewhere can't be read from here, but the browser can go there. */
async function elsewhere(url) {
  const stop = new AbortController();
  setTimeout(() => stop.abort(), PATIENCE);
  const asked = { redirect: 'manual', cache: 'no-store', signal: stop.signal };
  const sent = await fetch(url, asked).catch(() => {});
  return sent && sent.type === 'opaqueredirect' ? sent : null;
}

/* A file from the network, whole, as a plain response: browsers refuse a redirected one for a page.
 * `digest` is there if it is the file that was asked for. */
async function get(path, url, beat = () => {}) {
  const stop = new AbortController();
  const patience = timer(GIVEN_UP, () => stop.abort());
  const alive = () => {
    patience.beat();
    beat();
  };
  try {
    alive();
    const asked = { cache: 'no-cache', credentials: 'same-origin', signal: stop.signal };
    const response = await fetch(url, asked);
    if (response.redirected && ours(response.url) !== path)
      return { response: Response.redirect(response.url) };
    const body = await bodyOf(response, alive);
    const headers = new Headers(response.headers);
    for (const name of ['content-encoding', 'content-length', 'transfer-encoding', 'vary'])
      headers.delete(name);
    const { status, statusText } = response;
    const got = { response: new Response(body, { status, statusText, headers }) };
    if (status === 200) Object.assign(got, { body, headers, digest: await digestOf(body) });
    return got;
  } finally {
    patience.stop();
  }
}

async function bodyOf(response, alive) {
  const parts = [];
  const reader = response.body && response.body.getReader();
  for (let part; reader && !(part = await reader.read()).done;) {
    alive();
    parts.push(part.value);
  }
  return response.body && new Blob(parts).arrayBuffer();
}

async function digestOf(body) {
  const bytes = new Uint8Array(await crypto.subtle.digest('SHA-256', body));
  return Array.from(bytes.slice(0, 6), byte => byte.toString(16).padStart(2, '0')).join('');
}

/* Where pages are being written, the site's developer wants no worker. */
async function leave() {
  leaving = true;
  await Promise.all([KEPT, AHEAD].map(name => caches.delete(name)));
  return self.registration.unregister();
}

async function keep(name, path, { body, headers, digest }, listed) {
  const kept = new Headers(headers);
  kept.set('x-bench-kept', new Date().toISOString());
  kept.set('x-bench-digest', digest);
  kept.set('x-bench-listed', listed);
  await (await store(name)).put(address(path), new Response(body, { headers: kept }));
}

/* What a visit fetched is the newest copy, and pages that are open hear of it. */
async function visited(path, got) {
  try {
    const old = await (await store(KEPT)).match(address(path));
    const same = old && old.headers.get('x-bench-digest') === got.digest;
    await keep(KEPT, path, got, same ? old.headers.get('x-bench-listed') : got.digest);
  } catch {
    /* the device has no room: reading on goes before keeping */
  }
  const pages = await self.clients.matchAll({ type: 'window', includeUncontrolled: true });
  for (const client of pages) client.postMessage({ of: address(path), digest: got.digest });
}

async function check(path) {
  if (path === null) return;
  const got = await get(path, address(path)).catch(() => ({}));
  if (got.digest) await visited(path, got);
  return got.digest;
}

/* Fetches what this version has and no store holds, a few files at a time; true when all is
 * there. */
function ahead() {
  return (running ??= fetchAhead()
    .catch(() => false)
    .finally(() => {
      running = null;
    }));
}

async function fetchAhead() {
  const kept = await store(KEPT);
  const done = await kept.match(DONE);
  if (done && (await done.text()) === VERSION) return true;
  const next = await store(AHEAD);
  const wanted = Object.keys(LIST);
  let failed = 0;
  const fetchOne = async path => {
    for (const one of [kept, next]) if (current(path, await one.match(address(path)))) return;
    try {
      const got = await get(path, address(path));
      if (got.digest) await keep(AHEAD, path, got, LIST[path]);
      // else the host doesn't publish it
      else if (![403, 404, 410].includes(got.response.status)) failed++;
    } catch {
      failed++;
    }
  };
  const fetchOn = async () => {
    for (let path; failed < AT_ONCE && (path = wanted.shift()) !== undefined;) await fetchOne(path);
  };
  await Promise.all(Array.from({ length: AT_ONCE }, fetchOn));
  if (failed) return false;
  await move(next, kept);
  await kept.put(DONE, new Response(VERSION));
  await caches.delete(AHEAD);
  return true;
}

/* A complete new version takes the place of the old one, but of no file that was visited since. */
async function move(next, kept) {
  for (const request of await next.keys()) {
    const path = ours(request.url);
    const made = await next.match(request);
    const old = await kept.match(request);
    const later = old && old.headers.get('x-bench-kept') > made.headers.get('x-bench-kept');
    if (path !== null && current(path, made) && !later) await kept.put(request, made);
  }
  for (const request of await kept.keys()) {
    const path = ours(request.url);
    const stays = path !== null && address(path) === request.url;
    if (request.url !== DONE && !stays) await kept.delete(request);
  }
}

function current(path, copy) {
  const known = name => copy.headers.get(name) === LIST[path];
  return copy && (known('x-bench-listed') || known('x-bench-digest'));
}
