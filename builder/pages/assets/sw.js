/* Keeps this site's pages for a place without a network. Written at the end of each build; the list below is its own.

   Pages go to the network first, so that no old copy hides a new revision; a copy answers when the network fails or is
   silent for PATIENCE. Two stores: KEPT answers; AHEAD collects a new version until it is complete, and is then moved into
   KEPT, so that pages and their scripts of two versions don't mix and a half-finished fetch goes on where it stopped. */
"use strict";

/* {{summary}} */
const VERSION = "{{version}}";
const LIST = {{list}};

const PATIENCE = 3500, GIVEN_UP = 30000, AT_ONCE = 3;
const ROOT = new URL("./", self.location);
const KEPT = "bench-1-kept " + ROOT.pathname, AHEAD = "bench-1-ahead " + ROOT.pathname;
const DONE = new URL("sw.js?complete", ROOT).href;
const HASHED = /\.[0-9a-f]{8,}\.min\.(css|js)$/;

const served = {};  // by path: what the page that was opened last is made of
let silent = 0;     // until when the files of a page needn't wait for a network that hangs
let running = null, leaving = false;

self.addEventListener("install", () => self.skipWaiting());

self.addEventListener("activate", event => event.waitUntil((async () => {
  for (const name of await caches.keys())
    if (/^bench-\S+ /.test(name) && name.endsWith(" " + ROOT.pathname) && name !== KEPT && name !== AHEAD) await caches.delete(name);
  await self.clients.claim();
})()));

self.addEventListener("fetch", event => {
  const {request} = event, path = !leaving && request.method === "GET" && !request.headers.has("range") ? ours(request.url) : null;
  if (path !== null) event.respondWith(answer(event, path));
});

self.addEventListener("message", event => {
  const {ask, page} = event.data || {}, path = ours(page || "");
  const replies = {ahead, mine: async () => ({of: path && address(path), ...served[path]}),
    check: async () => ({of: path && address(path), digest: await check(path)}), leave};
  if (replies[ask]) event.waitUntil(replies[ask]().then(reply => event.ports[0] && event.ports[0].postMessage(reply)));
});

/* The file of this site that an address means, or null. Queries and fragments mean nothing; hosts may leave out .html,
   or put a slash in its place. */
function ours(text) {
  let url;
  try { url = new URL(text); } catch { return null; }
  if (url.origin !== ROOT.origin || !url.pathname.startsWith(ROOT.pathname)) return null;
  let path = url.pathname.slice(ROOT.pathname.length);
  try { path = decodeURIComponent(path); } catch { return null; }
  const bare = path.replace(/\/+$/, "");
  return [path, path.endsWith("/") || !path ? path + "index.html" : path + "/index.html", bare + ".html"]
    .find(one => Object.hasOwn(LIST, one)) ?? null;
}

function address(path) {
  return new URL(path.split("/").map(encodeURIComponent).join("/"), ROOT).href;
}

/* Opening a store makes it: not while all are being taken away. */
function store(name) {
  return leaving ? Promise.reject(new Error("leaving")) : caches.open(name);
}

async function copyOf(path) {
  for (const name of [KEPT, AHEAD]) {
    const found = await (await store(name)).match(address(path));
    if (found) return found;
  }
}

async function answer(event, path) {
  const {request} = event, page = request.mode === "navigate";
  if (page && new URL(".", request.url).href !== new URL(".", address(path)).href)  // links in the page start from its own folder
    return Response.redirect(address(path) + new URL(request.url).search);
  const copy = await copyOf(path).catch(() => {});
  if (copy && !page && (HASHED.test(path) || Date.now() < silent)) return copy;

  let beat = () => {}, timer;
  const silence = new Promise(resolve => { beat = () => { clearTimeout(timer); timer = setTimeout(resolve, PATIENCE); }; beat(); });
  const getting = get(path, request.url, () => beat());
  event.waitUntil(getting.then(got => got.digest && visited(path, got), () => {}));
  let got, why = "No network";
  try {
    got = await (copy ? Promise.race([getting, silence]) : getting);
    if (!got) silent = Date.now() + 15000;
    else if (got.response.status >= 500 && copy) [got, why] = [null, "The server fails"];
    else silent = 0;
  } catch {
    // A sign-in page elsewhere can't be read from here, but the browser can go there.
    const sent = page && await fetch(request.url, {redirect: "manual", cache: "no-store", signal: until(PATIENCE)}).catch(() => {});
    if (sent && sent.type === "opaqueredirect") return sent;
  } finally {
    clearTimeout(timer);
  }
  if (got) {
    if (page) served[path] = {digest: got.digest};
    return got.response;
  }
  if (!copy) return page ? nothing() : Response.error();
  if (page) served[path] = {digest: copy.headers.get("x-bench-digest"), copied: copy.headers.get("x-bench-kept"), why};
  return copy;
}

function until(time) {
  const stop = new AbortController();
  setTimeout(() => stop.abort(), time);
  return stop.signal;
}

/* A file from the network, whole, as a plain response: browsers refuse a redirected one for a page. `digest` is there if
   it is the file that was asked for. */
async function get(path, url, beat = () => {}) {
  const stop = new AbortController();
  let timer;
  const alive = () => { clearTimeout(timer); timer = setTimeout(() => stop.abort(), GIVEN_UP); beat(); };
  try {
    alive();
    const response = await fetch(url, {cache: "no-cache", credentials: "same-origin", signal: stop.signal});
    if (response.redirected && ours(response.url) !== path) return {response: Response.redirect(response.url)};
    const parts = [], reader = response.body && response.body.getReader();
    for (let part; reader && !(part = await reader.read()).done;) { alive(); parts.push(part.value); }
    const body = response.body && await new Blob(parts).arrayBuffer(), headers = new Headers(response.headers);
    for (const name of ["content-encoding", "content-length", "transfer-encoding", "vary"]) headers.delete(name);
    const got = {response: new Response(body, {status: response.status, statusText: response.statusText, headers})};
    if (response.status === 200) {
      const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", body));
      Object.assign(got, {body, headers, digest: Array.from(bytes.slice(0, 6), byte => byte.toString(16).padStart(2, "0")).join("")});
    }
    return got;
  } finally {
    clearTimeout(timer);
  }
}

/* Where pages are being written, the site's developer wants no worker. */
async function leave() {
  leaving = true;
  await Promise.all([KEPT, AHEAD].map(name => caches.delete(name)));
  return self.registration.unregister();
}

async function keep(name, path, {body, headers, digest}, listed) {
  const kept = new Headers(headers);
  kept.set("x-bench-kept", new Date().toISOString());
  kept.set("x-bench-digest", digest);
  kept.set("x-bench-listed", listed);
  await (await store(name)).put(address(path), new Response(body, {headers: kept}));
}

/* What a visit fetched is the newest copy, and pages that are open hear of it. */
async function visited(path, got) {
  try {
    const old = await (await store(KEPT)).match(address(path));
    await keep(KEPT, path, got, old && old.headers.get("x-bench-digest") === got.digest ? old.headers.get("x-bench-listed") : got.digest);
  } catch { /* the device has no room: reading on goes before keeping */ }
  for (const client of await self.clients.matchAll({type: "window", includeUncontrolled: true})) client.postMessage({of: address(path), digest: got.digest});
}

async function check(path) {
  if (path === null) return;
  const got = await get(path, address(path)).catch(() => ({}));
  if (got.digest) await visited(path, got);
  return got.digest;
}

/* Fetches what this version has and no store holds, a few files at a time; true when all is there. */
function ahead() {
  return running ??= fetchAhead().catch(() => false).finally(() => { running = null; });
}

async function fetchAhead() {
  const kept = await store(KEPT), done = await kept.match(DONE);
  if (done && await done.text() === VERSION) return true;
  const next = await store(AHEAD), wanted = Object.keys(LIST);
  let failed = 0;
  await Promise.all(Array.from({length: AT_ONCE}, async () => {
    for (let path; failed < AT_ONCE && (path = wanted.shift()) !== undefined;) {
      if (current(path, await kept.match(address(path))) || current(path, await next.match(address(path)))) continue;
      try {
        const got = await get(path, address(path));
        if (got.digest) await keep(AHEAD, path, got, LIST[path]);
        else if (![403, 404, 410].includes(got.response.status)) failed++;  // else the host doesn't publish it
      } catch { failed++; }
    }
  }));
  if (failed) return false;
  for (const request of await next.keys()) {
    const path = ours(request.url), made = await next.match(request), old = await kept.match(request);
    const later = old && old.headers.get("x-bench-kept") > made.headers.get("x-bench-kept");
    if (path !== null && current(path, made) && !later) await kept.put(request, made);
  }
  for (const request of await kept.keys()) if (request.url !== DONE && (ours(request.url) === null || address(ours(request.url)) !== request.url)) await kept.delete(request);
  await kept.put(DONE, new Response(VERSION));
  await caches.delete(AHEAD);
  return true;
}

function current(path, copy) {
  return copy && [copy.headers.get("x-bench-listed"), copy.headers.get("x-bench-digest")].includes(LIST[path]);
}

function nothing() {
  return new Response(`<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>No network</title><h1>No network</h1><p role="status">No copy of this page is kept here yet. <a href="${address("index.html")}">To the start</a></p>`,
    {status: 503, headers: {"content-type": "text/html; charset=utf-8"}});
}
