/* What was practised on this device: what is due again, of each kind its counts, the mistakes, what
 * the trainee's path asks for, and a line to print or hand over. */
(function () {
  'use strict';
  const { make, button, memory, practice } = Bench;

  // ---- what the trainee's path asks for
  const days = answers => [...new Set(answers.map(one => one.day))].sort();
  const span = answers => {
    const on = days(answers);
    return on.length > 1 ? `${on[0]} to ${on[on.length - 1]}` : on[0] || '';
  };
  const onDays = answers => {
    const { length } = days(answers);
    return `on ${length} day${length === 1 ? '' : 's'}, ${span(answers)}`;
  };
  const seeds = answers => [...new Set(answers.map(one => one.seed))].join(', ');

  /** Of each criterion whether it is met, with the counts, days and seeds that say so. */
  practice.met = answers =>
    practice.criteria.map(one => ({
      number: one.number,
      ...(one.kinds.length ? inARow(one, answers) : wholeSets(one, answers)),
    }));

  function inARow(one, answers) {
    const last = answers.filter(({ kind }) => one.kinds.includes(kind)).slice(-one.row);
    const good = last.filter(({ right, sure }) => right && sure);
    const met = good.length === one.row && days(last).length >= one.days;
    const said = last.length
      ? `${good.length} of the last ${last.length} right and sure, ` +
        `${onDays(last)}, seeds ${seeds(last)}`
      : 'nothing yet';
    return { met, said };
  }

  function wholeSets(one, answers) {
    const runs = new Map();
    for (const answer of answers)
      if (answer.run) runs.set(answer.run, [...(runs.get(answer.run) || []), answer]);
    const whole = [...runs.values()].filter(
      run => run.length === practice.length && run[0].of === practice.length,
    );
    const rights = run => run.filter(({ right }) => right).length;
    const good = whole.filter(run => rights(run) >= one.right);
    const met = good.length >= one.row && days(good.flat()).length >= one.days;
    const shown = (good.length ? good : whole).slice(-Math.max(one.row, 1));
    const said = shown.length
      ? shown.map(run => `set ${run[0].seed}: ${rights(run)} right, ${run[0].day}`).join('; ')
      : 'no whole set yet';
    return { met, said };
  }

  /** All of it in a line: what somebody can copy by hand. */
  practice.line = function (answers) {
    const right = answers.filter(one => one.right).length;
    const met = practice.met(answers).filter(one => one.met);
    return (
      `${answers.length} answers ${onDays(answers)}: ` +
      `${right} right; met: ${met.map(one => one.number).join(', ') || 'none yet'}.`
    );
  };

  const home = document.querySelector('.practised');

  function show() {
    const answers = memory.all();
    if (!answers.length)
      return home.replaceChildren(
        make('p', { class: 'note' }, memory.trouble || 'Nothing was practised on this device yet.'),
      );
    const today = memory.today();
    const boxes = memory.boxes(answers);
    home.replaceChildren(
      make('h2', {}, 'On this device'),
      ...due(boxes, today, answers),
      kinds(boxes),
      ...slips(answers),
      make(
        'p',
        { class: 'to-sign' },
        make('b', {}, `Practice until ${today}: `),
        practice.line(answers),
        make('span', { class: 'to-fill' }, ...blanks('Trainee', 'Supervisor')),
      ),
      make(
        'p',
        { class: 'note' },
        'Kept on this device alone, and sent nowhere. What is right and sure goes one box on, ' +
          `what is wrong back to box 1; a box waits ${memory.WAITS.join(', ')} days.`,
      ),
      practice.handOver(memory.all, `practice-${today}.json`),
      make(
        'div',
        { class: 'actions screen' },
        button('Print', () => window.print()),
        button('Forget all of it', forget),
      ),
    );
    criteria(answers);
  }

  const blanks = (...names) =>
    names.flatMap(name => [` ${name} `, make('span', { class: 'line' }), ' ']);
  const named = kind => practice.kinds[kind] || practice.at_bench[kind] || kind;

  function due(boxes, today, answers) {
    const now = boxes.filter(one => one.due <= today);
    if (!now.length) return [make('p', {}, `Nothing is due again before ${boxes[0].due}.`)];
    const done = new Set(answers.map(one => one.seed));
    const seed = practice.sets.find(one => !done.has(one)) || practice.sets[0];
    const inSets = now.filter(one => practice.kinds[one.kind]);
    return [
      make(
        'p',
        { class: 'due' },
        make('b', {}, 'Due again: '),
        now.map(one => `${named(one.kind)} (last ${one.last})`).join(', ') + '.',
      ),
      ...(inSets.length
        ? [
            make(
              'a',
              {
                class: 'tap screen',
                href: `practice/${seed}.html#kinds=${inSets.map(one => one.kind).join(',')}`,
              },
              `What is due, from set ${seed}`,
            ),
          ]
        : []),
      ...now.filter(one => practice.at_bench[one.kind]).map(one => atBench(one.kind, answers)),
    ];
  }

  // a number that this task was not done with
  function atBench(kind, answers) {
    const numbers = answers.filter(one => one.kind === kind).map(one => one.seed);
    const task = kind.replace('bench-', '');
    const href = `practice/bench.html#task=${task}&seed=${Math.max(...numbers) + 1}`;
    return make('a', { class: 'tap screen', href }, practice.at_bench[kind]);
  }

  function kinds(boxes) {
    const head = ['Kind', 'Right', 'Wrong', 'Box', 'Due again'];
    const rows = boxes.map(one =>
      make(
        'tr',
        {},
        make('th', { scope: 'row' }, named(one.kind)),
        ...[one.right, one.wrong, one.box, one.due].map(text => make('td', {}, String(text))),
      ),
    );
    return make(
      'table',
      { class: 'boxes' },
      make('thead', {}, make('tr', {}, ...head.map(text => make('th', { scope: 'col' }, text)))),
      make('tbody', {}, ...rows),
    );
  }

  function slips(answers) {
    const counts = new Map();
    for (const { mistake } of answers)
      if (mistake) counts.set(mistake, (counts.get(mistake) || 0) + 1);
    if (!counts.size) return [];
    const items = [...counts]
      .sort((a, b) => b[1] - a[1])
      .slice(0, 5)
      .map(([mistake, times]) => {
        const link = practice.link(mistake);
        const name = practice.mistakes[mistake] || mistake;
        return make('li', {}, `${name}: ${times} ×`, ...(link ? [' → ', link] : []));
      });
    return [
      make('p', {}, 'Mistakes that came most often:'),
      make('ul', { class: 'slips' }, ...items),
    ];
  }

  /* Beside what the trainee's path asks for stands what is there of it. */
  function criteria(answers) {
    for (const one of practice.met(answers)) {
      const item = document.querySelector(`.criteria [data-number="${one.number}"]`);
      for (const old of item.querySelectorAll('.so-far')) old.remove();
      item.append(
        make(
          'span',
          { class: one.met ? 'so-far met' : 'so-far' },
          ` ${one.met ? '✓ met' : 'Not yet'}: ${one.said}.`,
        ),
      );
    }
  }

  function forget() {
    if (!window.confirm('Forget all that was practised on this device?')) return;
    memory.forget();
    for (const old of document.querySelectorAll('.so-far')) old.remove();
    show();
  }

  if (home) show();
})();
