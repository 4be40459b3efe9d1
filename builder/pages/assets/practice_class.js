/* Results of many, put together from files that were handed over: read here, sent nowhere. */
(function () {
  'use strict';
  const { make, button, practice } = Bench;
  const home = document.querySelector('.of-class');
  if (!home) return;
  let files = [];
  let wrong = [];

  const field = make('input', { type: 'file', multiple: true, accept: '.json,application/json' });
  const nameless = make('input', { type: 'checkbox' });
  const set = make('select', {}, make('option', { value: '' }, 'all sets'));
  practice.sets.forEach(seed => set.append(make('option', { value: seed }, `set ${seed}`)));
  // a number at the bench is another task than the set of that number
  Object.entries(practice.at_bench).forEach(([kind, text]) =>
    set.append(make('option', { value: kind }, text)),
  );
  const shown = make('div', { class: 'results', role: 'status' });

  /** A file's text → {name, answers}, or null where it is none of practice. */
  practice.results = function (text) {
    try {
      const { format, practice: what, name, answers } = JSON.parse(text);
      const fit = one => one && typeof one.kind === 'string' && typeof one.right === 'boolean';
      if (format !== 1 || what !== 'results' || !Array.isArray(answers) || !answers.every(fit))
        return null;
      return { name: String(name || ''), answers };
    } catch (error) {
      return null;
    }
  };

  field.addEventListener('change', async () => {
    for (const file of field.files) {
      const read = practice.results(await file.text());
      if (!read) wrong.push(file.name);
      else if (!files.some(one => JSON.stringify(one) === JSON.stringify(read))) files.push(read);
    }
    field.value = '';
    show();
  });
  nameless.addEventListener('change', show);
  set.addEventListener('change', show);
  home.replaceChildren(
    make('p', {}, make('label', {}, 'Files of results ', field)),
    make(
      'p',
      {},
      make('label', {}, 'Of ', set),
      ' ',
      make('label', {}, nameless, ' without names'),
    ),
    shown,
    make(
      'div',
      { class: 'actions screen' },
      button('Print', () => window.print()),
      button('Begin anew', () => {
        files = [];
        wrong = [];
        show();
      }),
    ),
  );
  show();

  const count = (answers, fits) => answers.filter(fits).length;

  function show() {
    const of = files
      .map(one => ({
        ...one,
        answers: one.answers.filter(({ seed, kind }) =>
          kind in practice.at_bench
            ? !set.value || kind === set.value
            : !set.value || String(seed) === set.value,
        ),
      }))
      .filter(one => one.answers.length)
      .map(one => ({ ...one, right: count(one.answers, answer => answer.right) }))
      // without names the order tells nobody either
      .sort((a, b) =>
        nameless.checked
          ? b.right / b.answers.length - a.right / a.answers.length
          : a.name.localeCompare(b.name),
      );
    shown.replaceChildren(
      ...wrong.map(name => make('p', {}, `${name} is no file of results.`)),
      ...(of.length ? [table(of), ...missed(of)] : [make('p', {}, 'No results yet.')]),
    );
  }

  function table(of) {
    const head = ['Who', 'Days', 'Right', 'Right and sure', 'Wrong and sure', 'Hardest'];
    const rows = of.map((one, n) =>
      make(
        'tr',
        {},
        make('th', { scope: 'row' }, nameless.checked ? String(n + 1) : one.name || 'no name'),
        ...[
          [...new Set(one.answers.map(({ day }) => day))].sort().join(', '),
          `${one.right} of ${one.answers.length}`,
          String(count(one.answers, ({ right, sure }) => right && sure)),
          String(count(one.answers, ({ right, sure }) => !right && sure)),
          hardest(one.answers),
        ].map((text, k) => make('td', { 'data-head': head[k + 1] }, text)),
      ),
    );
    return make(
      'table',
      { class: 'boxes of-many' },
      make('thead', {}, make('tr', {}, ...head.map(text => make('th', { scope: 'col' }, text)))),
      make('tbody', {}, ...rows),
    );
  }

  function hardest(answers) {
    const wrongs = new Map();
    for (const { kind, right } of answers)
      if (!right) wrongs.set(kind, (wrongs.get(kind) || 0) + 1);
    const [kind, times] = [...wrongs].sort((a, b) => b[1] - a[1])[0] || [];
    const name = practice.kinds[kind] || practice.at_bench[kind] || kind;
    return kind ? `${name} (${times} wrong)` : 'none wrong';
  }

  /* What to go through with all of them. */
  function missed(of) {
    const counts = new Map();
    for (const { answers } of of)
      for (const mistake of new Set(answers.map(one => one.mistake)))
        if (mistake) counts.set(mistake, (counts.get(mistake) || 0) + 1);
    const items = [...counts]
      .sort((a, b) => b[1] - a[1])
      .slice(0, 5)
      .map(([mistake, n]) =>
        make('li', {}, `${practice.mistakes[mistake] || mistake}: ${n} of ${of.length}`),
      );
    return items.length
      ? [make('p', {}, 'Made by most:'), make('ul', { class: 'slips' }, ...items)]
      : [];
  }
})();
