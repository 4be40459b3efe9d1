/* Two tasks at the bench on the page that have no steps: read a covered value, find a fault. */
(function () {
  'use strict';
  const Bench = window.Bench;
  const view = Bench.benchView;
  if (!view) return;
  const { make, button } = Bench;
  const X = Bench.rules.exact;
  const { data } = view;

  // ---- read a value
  function buildRead(told) {
    const typed = make('input', {
      class: 'typed',
      type: 'text',
      autocomplete: 'off',
      'aria-label': 'Reading with its unit',
    });
    const one = view.meter.functions[view.task.point.f];
    const check = () => {
      const now = view.state.display(),
        on = one.ranges[view.task.point.r],
        asked =
          view.state.entryNow().f === view.task.point.f &&
          view.state.joined(on.jacks[0], on.jacks[1]);
      if (!typed.value.trim()) return view.tell('Type the reading first.');
      if (!/[a-zµΩ]/i.test(typed.value.replace(/OL/i, '')) && now.text !== 'OL')
        return view.tell('With its unit: the number alone is no reading.');
      const read = Bench.benchRead(view.state, typed.value);
      if (!asked || !view.state.on || view.state.joined(...on.jacks) < 0) {
        const why = !asked
          ? `the meter does not measure this ${one.name} yet`
          : !view.state.on
            ? 'the output is off'
            : 'the leads are exchanged';
        return view.act(() => view.state.happen('other-setting', { why }));
      }
      if (read.wrong || (read.why && !read.text)) {
        if (!read.wrong) return view.tell(read.why);
        return view.act(() => view.state.happen('misread'));
      }
      if (now.text === 'OL') return view.tell('Overload is no value: another range holds it.');
      view.finish(
        !view.wrongs.length,
        view.wrongs[0] || '',
        `Right: ${read.text.replace('-', '−')} ${read.unit}.`,
      );
    };
    view.todo.append(
      make('h2', {}, view.kindSaid()),
      make(
        'p',
        {},
        `Somebody has set ${view.state.standardNow().name} to a ${one.name} and covered it. ` +
          'Connect the meter, read the display.',
      ),
      make('p', { class: 'to-enter' }, view.label('Reading with its unit', typed)),
      make('p', { class: 'actions' }, button('Check', check, { class: 'go' })),
      told,
    );
    typed.addEventListener('keydown', event => event.key === 'Enter' && check());
  }

  // ---- find the fault
  function buildFault(told) {
    const points = make('select', {}),
      kind = make('select', {}),
      where = make('select', {}),
      limits = make('p', { class: 'accepts' });
    view.options(
      points,
      view.task.listed.map((point, n) => [n, `${point.said}, ${view.rangeName(point)} range`]),
    );
    const look = () => {
      const point = view.task.listed[Number(points.value)];
      limits.replaceChildren(
        point.less === undefined ? 'Accept ' : 'Less the leads, accept ',
        make('b', {}, view.limitsOf(point)),
        point.live ? ' ' : '',
        point.live ? make('b', { class: 'live' }, 'live') : '',
      );
    };
    points.addEventListener('change', look);
    look();
    const has = [...new Set(view.task.area.faults.map(one => one.kind))];
    view.options(
      kind,
      has.map(one => [one, data.faults[one]]),
    );
    const spots = () => {
      view.options(
        where,
        view.task.area.faults
          .map((one, n) => [n, one])
          .filter(([, one]) => one.kind === kind.value)
          .map(([n, one]) => [n, one.said]),
      );
      where.parentNode.hidden = where.children.length < 2;
    };
    kind.addEventListener('change', spots);
    const answer = () => {
      const chosen = view.task.area.faults[Number(where.value)],
        right = chosen === view.task.hidden,
        n = view.state.used.length,
        looked = `${n} point${n === 1 ? '' : 's'} looked at`,
        count = `${looked}; halving takes ${view.task.hidden.halving}.`;
      if (!right) {
        const fault = `${data.faults[view.task.hidden.kind]}: ${view.task.hidden.said}`;
        view.act(() => view.state.happen('wrong-fault', { fault }));
      }
      view.finish(
        right && !view.wrongs.length,
        view.wrongs[0] || '',
        `${right ? 'Found. ' : ''}${count}`,
      );
    };
    view.todo.append(
      make('h2', {}, `Find the fault: ${view.task.area.said}`),
      make(
        'p',
        {},
        `Somebody says that ${view.task.area.said} of this meter is not right. Choose ` +
          'points, look at them, say what it is. Fewer points are better.',
      ),
      make('p', { class: 'to-enter' }, view.label('Point', points)),
      limits,
      make(
        'p',
        { class: 'actions' },
        button('Set it up', () => {
          let why = '';
          view.act(
            () =>
              (why = Bench.benchSetUp(
                data,
                view.meter,
                view.state,
                view.task.listed[Number(points.value)],
              )),
            true,
          );
          view.tell(why || 'Set up, in standby.');
        }),
      ),
      told,
      make('ol', { class: 'used', 'aria-label': 'Points looked at' }),
      make(
        'p',
        { class: 'to-enter' },
        view.label('The fault is', kind),
        view.label('where', where),
      ),
      make('p', { class: 'actions' }, button('That is it', answer, { class: 'go' })),
    );
    spots();
  }
  function drawUsed() {
    if (!view.task.area) return;
    const list = view.todo.querySelector('.used');
    if (list.children.length === view.state.used.length) return;
    list.replaceChildren(
      ...view.state.used.map(one => {
        const shown = `${one.text.replace('-', '−')} ${one.text === 'OL' ? '' : one.unit}`;
        return make('li', {}, `${one.given}, ${one.range}: `, make('b', {}, shown.trim()));
      }),
    );
  }

  Object.assign(view, { buildRead, buildFault, drawUsed });
})();
