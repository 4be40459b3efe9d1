/* The hints on common mistakes are shown where somebody asks for them, on every sheet of this
 * device. Without a script the box does the same for one look at the page. */
(function () {
  'use strict';
  const NAME = 'bench-hints';
  const box = document.getElementById('hints');
  if (!box) return;
  try {
    box.checked = localStorage.getItem(NAME) === 'yes';
    box.addEventListener('change', () => localStorage.setItem(NAME, box.checked ? 'yes' : ''));
  } catch (error) {
    /* a private window */
  }
})();
