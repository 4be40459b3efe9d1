/* On the first page: the live groups of this device, if there are any. */
(function () {
  'use strict';
  const place = document.getElementById('live-notice');
  let words = [];
  try {
    words = JSON.parse(localStorage.getItem('bench-live') || '[]');
  } catch (error) {
    /* a private window */
  }
  if (!place || !words.length) return;
  const link = document.createElement('a');
  link.href = 'in-progress.html';
  link.className = 'live-elsewhere';
  link.textContent = `Still live on this device: ${words.join('; ')}. Close it.`;
  place.append(link);
})();
