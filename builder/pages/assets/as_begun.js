/* The sheet of a record whose own sheet is not on the site any more: made of nothing but the limits
 * and texts that the record carries, with the same classes, so that a sheet's own scripts and the
 * bench view work on it as on any other. */
(async function () {
  'use strict';
  const { store, record, rules, make } = Bench;
  const place = document.getElementById('as-begun');
  const asked = (/[#&]record=([\w-]+)/.exec(location.hash) || [])[1];
  const found = asked && (await store.get(asked));
  const list = make('a', { class: 'all', href: '../in-progress.html' }, 'All in progress');
  const no = 'This record is not on this device, or is no whole record: ';
  const refuse = () => place.replaceChildren(no, list);
  if (!found || !record.isWhole(found.record, found.fields)) return refuse();
  const { record: kept } = found;
  const { data } = kept;

  // ---------------------------------------------------------------- pieces

  const unitOf = unit => rules.pretty('0 ' + unit).slice(2);
  const tickBox = words => make('input', { type: 'checkbox', 'aria-label': words });
  const blank = words =>
    words
      .split('____')
      .flatMap((part, n) => (n ? [make('span', { class: 'line' }), part] : [part]));
  const ticks = steps =>
    make(
      'ul',
      { class: 'ticks' },
      ...steps.map(words =>
        make('li', {}, make('label', {}, make('input', { type: 'checkbox' }), ' ',
          make('span', {}, ...blank(words)))),
      ),
    );
  const field = (name, words, wide) =>
    make('div', { 'data-field': name, class: wide ? 'wide' : '' }, ...blank(words));
  const choice = (name, words, answers) =>
    make(
      'div',
      { 'data-field': name, class: words ? 'wide' : 'ticks' },
      words,
      ...answers.flatMap(one => [
        make('label', {}, make('input', { type: 'checkbox', value: one }), ' ' + one),
        ' ',
      ]),
    );
  const marked = words => words.flatMap(one => [make('span', { class: 'mark' }, one), ' ']);
  const cell = (name, ...parts) => make('td', { class: name }, ...parts);

  // ---------------------------------------------------------------- head and end

  const head = () => [
    make(
      'div',
      { class: 'sheet-head' },
      make(
        'div',
        { class: 'says' },
        make('p', {}, make('b', {}, `Revision ${kept.revision}. `),
          'This record keeps the limits and texts with which it began. ',
          'The site has another revision of this sheet.'),
        make('p', {}, 'A record carries no drawings and no tables of millivolts. The steps name ' +
          'each jack and terminal. Use the paper of this revision for what is missing.'),
        make('p', {}, make('b', {}, 'Accept a reading between the two limits, both included. '),
          data.holds
            ? `The limits hold at ${data.holds}, at the meter. Stop outside this band.`
            : ''),
        make('p', {}, data.rule_in_words || ''),
      ),
    ),
    make(
      'div',
      { class: 'blanks' },
      field('serial', 'Meter serial no.'),
      field('asset', 'Asset no.'),
      field('owner', 'Owner', true),
      field('received', 'Received on'),
      field('place', 'Place'),
      field('date', 'Date'),
      choice('state', '', ['as found', 'as left']),
      data.verified_against
        ? field('last_adjusted', `Last adjusted on (limits of ${data.verified_against})`, true)
        : '',
      field('ambient', `Ambient at the start, ${unitOf(data.ambient_unit || 'degC')}`),
      field('humidity', 'Humidity at the start, %'),
      field('done_by', 'Done by'),
      field('reviewed_by', 'Reviewed by'),
      ...data.standards.flatMap(({ standard, name, description, certificate, due }) => [
        field(`standard/${standard}/number`, [name, description, 'no.'].filter(Boolean).join(', '),
          true),
        field(`standard/${standard}/certificate`, `Certificate, here ${certificate}`),
        field(`standard/${standard}/due`, `Stop after ${due}. Label, if earlier: ____`),
      ]),
    ),
  ];
  const end = () => [
    make('h2', {}, 'Verdict and signatures'),
    make(
      'div',
      { class: 'blanks verdict' },
      field('ambient_end', `Ambient at the end, ${unitOf(data.ambient_unit || 'degC')}`),
      field('humidity_end', 'Humidity at the end, %'),
      choice('verdict', 'This meter at these points, on this day: ', [
        'all within',
        'not all within',
        'not completed',
        'not safe to use',
      ]),
      field('failed', 'Steps not within, steps not done', true),
      field('work_step', 'Worked on the meter at step (or: end)'),
      field('work_done', 'What was done (battery, fuse)'),
      field('remarks', 'Remarks; what was cleaned, replaced or adjusted', true),
      field('next', 'What is next for this meter', true),
    ),
  ];

  // ---------------------------------------------------------------- groups

  const hold = group =>
    make(
      'div',
      { class: 'hold', 'data-hold': group.group },
      make('p', {}, make('b', {}, group.hold.said || 'HOLD')),
      make('p', {},
        make('label', {}, tickBox('go on'), ' each answer is good: go on'), ' ',
        make('label', {}, tickBox('stop'), ' a no or a blank: stop')),
      make('p', {}, group.hold.stop || ''),
    );

  const toApply = point =>
    ['zero', 'leads'].includes(point.kind) ? 'leads alone' : rules.pretty(point.apply);
  const beside = point =>
    [point.frequency, point.level]
      .filter(Boolean)
      .map(one => rules.pretty(one))
      .concat(point.source_setting ? `source at ${rules.pretty(point.source_setting)}` : [])
      .join(', ');

  /** A row of points in one of the three layouts of a sheet. */
  function pointRow(point, layout) {
    const unit = unitOf(rules.display(point).unit);
    const isCompared = point.kind === 'reference';
    const small = words => make('small', {}, words);
    const twice = words => make('small', { class: 'twice' }, `${words}, ${unit}`);
    const number = value => rules.pretty(value).split(/\s/)[0];
    const limits = isCompared
      ? []
      : point.accept
        ? [cell('from', number(point.accept.low)),
            cell('to', rules.pretty(point.accept.high))]
        : [make('td', { class: 'observe', colspan: '3' }, point.observe || 'Write down only')];
    const tolerance = cell('pm', point.tolerance ? number(point.tolerance) : '');
    const marks = !isCompared && !point.accept
      ? []
      : data.outcomes === 4 && !isCompared
        ? ['p', 'cp', 'cf', 'f']
        : ['yes', 'no'];
    return make(
      'tr',
      { id: point.id, class: point.hazard ? 'hot' : '' },
      cell('tick', make('label', {}, tickBox(`Step ${point.step} done`))),
      cell('step', point.step, ' ', point.hazard ? make('b', { class: 'live' }, 'live') : ''),
      cell('apply', toApply(point)),
      cell('at', beside(point)),
      cell('range', rules.pretty(point.range),
        ...(point.range_forced ? [' ', make('i', {}, 'by hand')] : [])),
      ...limits,
      ...(isCompared
        ? [cell('reading first', small(unit)),
            cell('reading', ...(point.reference.twice
              ? [twice('before'), twice('after')] : [small(unit)])),
            tolerance]
        : point.accept
          ? [layout === 'corrected' ? cell('reading first') : tolerance]
          : []),
      cell('reading', small(unit)),
      cell('within' + (marks.length === 4 ? ' four' : ''),
        ...marked(marks)),
    );
  }

  const betweenRow = point =>
    make('tr', { class: 'between' }, make('td', { colspan: '10' }, ticks(point.before)));

  function checkRow(check) {
    const { stops = 'nothing' } = check;
    const no = stops === 'everything' ? '(no: stop)' : `(no: stop ${stops})`;
    return make(
      'tr',
      {},
      cell('tick', make('label', {}, tickBox(`Step ${check.step} done`))),
      cell('step', check.step),
      cell('do', make('b', {}, `${check.check}.`), ' ', check.do),
      make('td', { class: 'good', colspan: check.write ? '1' : '2' },
        make('span', {}, check.good),
        ...(stops === 'nothing' ? [] : [' ', make('i', { class: 'stops' }, no)])),
      ...(check.write
        ? [cell('write', make('span', {}, check.write),
            check.unit ? make('small', {}, unitOf(check.unit)) : '')]
        : []),
      cell('within', ...marked(['yes', 'no'])),
    );
  }

  const table = (name, heads, rows) =>
    make('div', { class: 'rows' },
      make('table', { class: name },
        make('thead', {}, make('tr', {}, ...heads.map(one => make('th', {}, one)))),
        make('tbody', {}, ...rows)));

  function ofGroup(group) {
    const points = data.points.filter(one => one.group === group.group);
    const checks = data.checks.filter(one => one.group === group.group);
    const layout = points.some(one => one.kind === 'reference')
      ? 'reference'
      : points.some(one => one.correction === 'subtract' && one.kind !== 'zero')
        ? 'corrected'
        : '';
    const limit = group.near_zero_limit && rules.pretty(group.near_zero_limit);
    const last = group.near_zero
      ? [limit ? `Meter: reads ____ with its unit; near zero is at most ${limit}`
          : 'Meter: reads ____ with its unit; near zero']
      : [];
    const warnings = group.warnings.map(words =>
      make('p', { class: 'sign ' + (group.hazard ? 'warn' : 'care') }, make('b', {}, words)));
    const element = make(
      'div',
      { class: 'group', 'data-group': group.group },
      warnings.length || group.opening.length
        ? make('div', { class: 'before' },
            make('div', {}, ...warnings),
            make('div', { class: 'steps' }, ticks(group.opening)))
        : '',
      points.length
        ? table('points ' + layout, ['', 'Step', 'Apply', 'At', 'On range', 'Accept from', 'to',
            '±', 'Reading', 'Within?'], points.flatMap(one => [
              ...((one.before || []).length ? [betweenRow(one)] : []), pointRow(one, layout)]))
        : '',
      checks.length
        ? table('checks', ['', 'Step', 'Do', 'Good is', 'Write down', 'Good?'],
            checks.map(checkRow))
        : '',
      group.closing.length || last.length
        ? make('div', { class: 'after' }, ticks([...group.closing, ...last]))
        : '',
    );
    if (group.hazard) element.dataset.live = '';
    return [
      group.hold ? hold(group) : '',
      make('h2', { id: 'group-' + group.group }, `${group.group} ${group.title}`),
      element,
    ];
  }

  // ---------------------------------------------------------------- the page

  let parts;
  try {
    for (const group of data.groups)
      for (const name of ['opening_steps', 'closing_steps', 'cautions'])
        group[name] = group[name] || []; // data of older versions have none
    parts = [head(), [...data.groups.flatMap(ofGroup), ...end()]];
  } catch (error) {
    return refuse(); // what the device keeps was spoilt
  }
  document.querySelector('article h1').textContent = kept.title;
  document.title = kept.title;
  document.querySelector('.rules').before(...parts[0]);
  place.replaceWith(...parts[1]);
  const carried = make('script', { type: 'application/json', id: 'procedure-data' });
  const { procedure, revision } = kept;
  carried.textContent = JSON.stringify({ ...data, procedure, revision });
  carried.dataset.asBegun = '';
  document.body.append(carried);
  // what is spoilt in a way that only they notice
  for (const kind of ['error', 'unhandledrejection'])
    addEventListener(kind, event => {
      if (document.body.matches('.bench-on') || list.isConnected) return;
      event.preventDefault();
      document.querySelector('.rules').before(make('p', { id: 'as-begun' }, no, list));
    });
  const scripts = ['gates', 'stated', 'sheet'];
  if (data.points.some(one => one.on_at_most)) scripts.push('times');
  for (const name of scripts) {
    const script = make('script', { src: `../assets/${name}.js` });
    script.async = false; // in this order
    document.body.append(script);
  }
})();
