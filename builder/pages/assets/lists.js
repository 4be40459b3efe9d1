/* Lists: what has become overdue since the day that a page was built for. */
(function () {
  'use strict';
  const shop = document.querySelector('.shop'),
    now = new Date(),
    two = number => String(number).padStart(2, '0');
  const today = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  const from = shop && shop.getAttribute('data-as-of');
  if (!from || today <= from) return;
  const late = [...shop.querySelectorAll('[data-due]')]
    .map(row => [row.getAttribute('data-due'), row.getAttribute('data-name')])
    .filter(([due]) => due >= from && due < today)
    .map(([due, name]) => `${name} (${due})`);
  const said = shop.querySelector('.since');
  said.textContent = `Today is ${today}. ${
    late.length
      ? `Since that day these have become overdue: ${late.join('; ')}.`
      : 'Since that day nothing has become overdue.'
  }`;
  said.hidden = false;
})();
