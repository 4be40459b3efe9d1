/* Where on the page somebody was, over a reload: groups that are far off have no heights of their
 * own yet, so the browser's count of pixels leads elsewhere. */
(function () {
  'use strict';
  const NAME = 'bench-place ' + location.pathname;
  const places = () => [...document.querySelectorAll('.group tr[id], h2[id]')];
  const top = place => place.getBoundingClientRect().top;
  const isPage = () => !document.body.classList.contains('bench-view');

  addEventListener('pagehide', () => {
    const seen = isPage() && scrollY > 0 && places().find(one => top(one) >= 0);
    try {
      sessionStorage.setItem(NAME, seen ? JSON.stringify([seen.id, top(seen)]) : '');
    } catch (error) {
      /* a private window */
    }
  });

  function goBack() {
    const [{ type } = {}] = performance.getEntriesByType('navigation');
    if (!['reload', 'back_forward'].includes(type) || !isPage()) return;
    let found = null;
    try {
      found = JSON.parse(sessionStorage.getItem(NAME) || 'null');
    } catch (error) {
      /* a private window */
    }
    const place = found && document.getElementById(found[0]);
    if (!place) return;
    const go = () => scrollBy({ top: top(place) - found[1], behavior: 'instant' });
    go();
    // what has come near is laid out with the next frame
    requestAnimationFrame(() => requestAnimationFrame(go));
  }
  Bench.sheet.ready.then(() =>
    document.readyState === 'complete' ? goBack() : addEventListener('load', () => goBack()),
  );
})();
