
/* Records that the system's share sheet hands to the installed site: kept until the page “In
 * progress” takes them in. */
const SHARED = 'bench-shared';

self.addEventListener('fetch', event => {
  const { request } = event;
  if (request.method === 'POST' && ours(request.url) === 'in-progress.html')
    event.respondWith(takeShared(request));
});

async function takeShared(request) {
  const files = (await request.formData()).getAll('records');
  const kept = await caches.open(SHARED);
  for (const [n, file] of files.entries()) {
    const name = encodeURIComponent(file.name || 'record.json');
    await kept.put(new URL(`shared?n=${Date.now()}-${n}&name=${name}`, ROOT), new Response(file));
  }
  return Response.redirect(address('in-progress.html') + '#shared', 303);
}
