/* Lists: a field that finds their lines, choices of what stands in them, and on the shop's meters
 * what has become overdue since the day that the page was built for. Without it every line is
 * shown. Of a list that is longer than its page all lines come with a script, once somebody looks
 * for one. */
(function () {
  'use strict';
  const { make } = Bench;
  const MOST = 200; // found lines of a longer list that are shown
  /** Without capitals and accents, so that what is typed at a bench finds what was written. */
  const plain = text => text.normalize('NFKD').replace(/[\u0300-\u036f]/g, '').toLowerCase();
  const part = name => new URLSearchParams(location.hash.slice(1)).get(name) || '';

  /** A line with its text and, by the name of each choice, what stands in it. */
  function lineOf(row, { states, columns }) {
    const by = {};
    if (states) by[states] = [...row.querySelectorAll('.state .chip')].map(wordOf);
    if (columns) by[columns] = [...row.querySelectorAll('[data-l]')].map(one => one.dataset.l);
    for (const one of row.querySelectorAll('[data-by]'))
      by[one.dataset.by] = [one.textContent.trim()];
    return { row, text: plain(row.textContent), by };
  }

  /** What a chip says, without the shape before it. */
  const wordOf = chip => chip.textContent.replace(/^\S+\s+/, '');

  /** A line of the script of all reports. */
  function reportLine(data, cells, state) {
    const [page, date, as, statement, mark, meter, serial, history, headline] = cells;
    const word = n => data.words[n];
    const [kind, says] = data.chips[statement];
    const said = [date, word(as), says, word(mark), word(meter), serial, word(headline)];
    return {
      text: plain(said.join(' ')),
      by: { [state]: [says.replace(/^\S+\s+/, '')] },
      get row() {
        const cell = (attributes, ...inside) => make('td', attributes, ...inside);
        const past = ['replaced', 'withdrawn'].includes(word(mark));
        return make(
          'tr',
          { class: past && 'past' },
          cell(
            { class: 'state' },
            make('b', { class: `chip ${kind}` }, says),
            word(mark) ? make('small', {}, word(mark)) : '',
          ),
          cell(
            { class: 'name' },
            make('a', { href: `reports/${page}.html` }, `${date}, ${word(as)}`),
          ),
          cell({ class: 'meter' }, word(meter)),
          cell(
            { 'data-l': 'serial no.' },
            make(
              'span',
              {},
              history ? make('a', { href: `history/${history}.html` }, serial) : serial,
            ),
          ),
          cell({ class: 'wide' }, word(headline)),
        );
      },
    };
  }

  document.querySelectorAll('table[data-find]').forEach((table, n) => {
    const body = table.tBodies[0];
    const own = [...body.rows];
    if (own.length < 6) return;
    const state = table.dataset.states;
    const longer = table.dataset.all;
    let lines = own.map(row => lineOf(row, table.dataset));
    let asked = false;
    let whole = !longer; // whether all of its lines are here
    const count = make('span', { class: 'count', role: 'status' });
    const printed = make('p', { class: 'only-found' });
    const words = make('input', { type: 'search', autocomplete: 'off' });
    const choices = new Map(); // by name
    if (!n) words.value = part('find');
    const find = make(
      'div',
      { class: 'find', role: 'search' },
      make('label', {}, table.dataset.find, words),
    );

    /** A choice for each thing that not all lines have in common. */
    function offer() {
      for (const name of new Set(lines.flatMap(line => Object.keys(line.by)))) {
        const many = new Map();
        for (const word of lines.flatMap(line => line.by[name] || []))
          many.set(word, (many.get(word) || 0) + 1);
        if (many.size < 2 && !choices.has(name)) continue;
        const select = choices.get(name) || make('select', {});
        const chosen = select.value || (n ? '' : part(key(name)));
        select.replaceChildren(make('option', { value: '' }, 'any'));
        const sorted = [...many.keys()];
        if (name !== state) sorted.sort(new Intl.Collator('en', { numeric: true }).compare);
        for (const word of sorted)
          select.append(make('option', { value: word }, `${word} (${many.get(word)})`));
        if (many.has(chosen)) select.value = chosen;
        if (choices.has(name)) continue;
        choices.set(name, select);
        select.addEventListener('input', show);
        find.append(make('label', {}, name, select));
      }
      find.append(count);
    }

    function askForAll() {
      if (asked) return;
      asked = true;
      Bench.lines = data => {
        lines = data.rows.map(cells => reportLine(data, cells, state));
        whole = true;
        offer();
        show();
      };
      const onerror = () => {
        count.textContent = 'All reports can’t be searched here now: look by year or by meter.';
      };
      document.head.append(make('script', { src: longer, onerror }));
    }

    function show() {
      const wanted = plain(words.value).split(/\s+/).filter(Boolean);
      const chosen = [...choices].filter(([, select]) => select.value);
      const looked = wanted.length + chosen.length > 0;
      if (longer && looked && !whole) {
        count.textContent = 'Looking through all reports …';
        if (!n) keep(chosen);
        return askForAll();
      }
      const found = lines.filter(
        line =>
          wanted.every(word => line.text.includes(word)) &&
          chosen.every(([name, select]) => (line.by[name] || []).includes(select.value)),
      );
      const shown = found.slice(0, MOST);
      if (longer) body.replaceChildren(...(looked ? shown.map(line => line.row) : own));
      else {
        const seen = new Set(found);
        for (const line of lines) line.row.hidden = !seen.has(line);
      }
      const cut = longer && looked && shown.length < found.length;
      const all = found.length === lines.length ? '' : ` of ${lines.length}`;
      const said = `${found.length}${all}` + (cut ? `, the latest ${MOST} shown` : '');
      count.textContent = longer && !looked ? '' : said;
      const by = [words.value, ...chosen.map(([, select]) => select.value)].filter(Boolean);
      printed.textContent = looked ? `Only what was found by “${by.join('”, “')}”: ${said}.` : '';
      table.hidden = !found.length;
      if (!n) keep(chosen);
    }

    const key = name => (name === state ? 'state' : name.toLowerCase());

    /** What was asked for into the address, so that a way back finds the list as it was left. */
    function keep(chosen) {
      const kept = new URLSearchParams();
      if (words.value) kept.set('find', words.value);
      for (const [name, select] of chosen) kept.set(key(name), select.value);
      const hash = String(kept) && `#${kept}`;
      const names = ['find', ...[...choices.keys()].map(key)];
      if (hash !== location.hash && (hash || names.some(part)))
        history.replaceState(history.state, '', hash || location.pathname + location.search);
    }

    words.addEventListener('input', show);
    if (longer) find.addEventListener('focusin', askForAll);
    offer();
    table.before(find, printed);
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
