/* Lists: a field that finds their lines, a choice of states, and on the shop's meters what has
 * become overdue since the day that the page was built for. Without it every line is shown. */
(function () {
  'use strict';
  /** Without capitals and accents, so that what is typed at a bench finds what was written. */
  const plain = text => text.normalize('NFKD').replace(/[\u0300-\u036f]/g, '').toLowerCase();
  const part = name => new URLSearchParams(location.hash.slice(1)).get(name) || '';

  document.querySelectorAll('table[data-find]').forEach((table, n) => {
    const rows = [...table.querySelectorAll('tbody tr')].map(row => ({
      row,
      text: plain(row.textContent),
      // without the shape before the word
      states: [...row.querySelectorAll('.state .chip')].map(chip =>
        chip.textContent.replace(/^\S+\s+/, ''),
      ),
    }));
    const states = [...new Set(rows.flatMap(one => one.states))];
    if (rows.length < 6) return;
    const { make } = Bench,
      count = make('span', { class: 'count', role: 'status' });
    const words = make('input', { type: 'search', autocomplete: 'off' });
    if (!n) words.value = part('find');
    const state = make('select', {}, make('option', { value: '' }, 'any'));
    for (const one of states) {
      const many = rows.filter(found => found.states.includes(one)).length;
      state.append(make('option', { value: one }, `${one} (${many})`));
    }
    if (!n && states.includes(part('state'))) state.value = part('state');

    function show() {
      const wanted = plain(words.value).split(/\s+/).filter(Boolean);
      let seen = 0;
      for (const one of rows) {
        one.row.hidden =
          !wanted.every(word => one.text.includes(word)) ||
          (state.value !== '' && !one.states.includes(state.value));
        seen += !one.row.hidden;
      }
      const all = seen === rows.length;
      count.textContent = all ? `${seen}` : `${seen} of ${rows.length}`;
      table.hidden = !seen;
      if (n) return;
      const kept = new URLSearchParams();
      if (words.value) kept.set('find', words.value);
      if (state.value) kept.set('state', state.value);
      // so that a way back finds the list as it was left
      const hash = String(kept) && `#${kept}`;
      if (hash !== location.hash && (hash || part('find') || part('state')))
        history.replaceState(history.state, '', hash || location.pathname + location.search);
    }
    words.addEventListener('input', show);
    state.addEventListener('input', show);
    table.before(
      make(
        'div',
        { class: 'find', role: 'search' },
        make('label', {}, table.dataset.find, words),
        states.length > 1 ? make('label', {}, table.dataset.states, state) : '',
        count,
      ),
    );
    show();
  });

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
