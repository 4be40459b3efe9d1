/* What the worker says where it has nothing. */
'use strict';

/* An address that leads nowhere, without a network: what the host says. */
async function nowhere() {
  const copy = await copyOf('404.html').catch(() => {});
  return copy ? new Response(copy.body, { status: 404, headers: copy.headers }) : nothing();
}

function nothing() {
  const text =
    '<!doctype html><html lang="en"><meta charset="utf-8">' +
    '<meta name="viewport" content="width=device-width">\n<title>No network</title>' +
    '<h1>No network</h1><p role="status">No copy of this page is kept here yet. ' +
    `<a href="${address('index.html')}">To the start</a></p>`;
  const headers = { 'content-type': 'text/html; charset=utf-8' };
  return new Response(text, { status: 503, headers });
}
