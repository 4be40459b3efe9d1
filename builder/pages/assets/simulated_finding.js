/* Tasks at the bench on the page that have no steps: a covered value, a fault to find. */
Bench.onBenchPage(function (page) {
  'use strict';
  const { view, data, make, button, X } = page;

  // ---- read a value; or what stood there before the meter took its share
  function buildRead(told) {
    const typed = make('input', {
      class: 'typed',
      type: 'text',
      autocomplete: 'off',
      'aria-label': view.task.behind ? 'Voltage without the meter' : 'Reading with its unit',
    });
    const { point, behind } = view.task;
    const one = view.meter.functions[point.f];
    const jacks = one.ranges[point.r].jacks;
    const notYet = () =>
      view.state.entryNow().f !== point.f || !view.state.joined(...jacks)
        ? `the meter does not measure this ${one.name} yet`
        : !view.state.on
          ? 'the output is off'
          : view.state.joined(...jacks) < 0
            ? 'the leads are exchanged'
            : '';
    const check = sure => {
      view.calm();
      if (!typed.value.trim()) return view.tell('Type it first.');
      const now = view.state.display();
      if (!/[a-zµΩ]/i.test(typed.value.replace(/OL/i, '')) && now.text !== 'OL')
        return view.tell('With its unit: the number alone is no reading.');
      const why = notYet();
      if (why) return view.act(() => view.state.happen('other-setting', { why }));
      return behind ? share(sure) : reading(sure, now);
    };
    function reading(sure, now) {
      const read = Bench.benchRead(view.state, typed.value);
      if (read.why && !read.wrong) return view.tell(read.why);
      view.answered(sure);
      if (read.wrong) return view.act(() => view.state.happen('misread'));
      if (now.text === 'OL') return view.tell('Overload is no value: another range holds it.');
      done(`Right: ${read.text.replace('-', '−')} ${read.unit}.`);
    }
    // half a percent holds for any display here, and tells the meter's share from none
    function share(sure) {
      const value = Bench.benchValue(typed.value, 'V'),
        before = view.task.covered;
      if (!value) return view.tell(`“${typed.value}” is no value in V.`);
      view.answered(sure);
      const facts = {
        before: Bench.benchText(before, 'V'),
        ohms: Bench.benchText(X.from(behind), 'Ω'),
        inside: Bench.benchText(X.from(one.ohms), 'Ω'),
      };
      const off = X.multiply(X.abs(X.subtract(value, before)), X.whole(200));
      const right = X.compare(off, X.abs(before)) <= 0;
      if (!right) view.act(() => view.state.happen('lost-share', facts));
      done(right ? `Right: it was ${facts.before}.` : '');
    }
    const done = said => view.finish(!view.wrongs.length, view.wrongs[0] || '', said);
    const set = `Somebody has set ${view.state.standardNow().name} to a ${one.name}`;
    view.todo.append(
      make('h2', {}, view.kindSaid()),
      make(
        'p',
        {},
        behind
          ? `${set}, covered it and put ${Bench.benchText(X.from(behind), 'Ω')} in its way. The ` +
              `input of this meter: ${Bench.benchText(X.from(one.ohms), 'Ω')}. Connect it, read ` +
              'the display, work out what was there before, to half a percent.'
          : `${set} and covered it. Connect the meter, read the display.`,
      ),
      make(
        'p',
        { class: 'to-enter' },
        view.label(behind ? 'Without the meter' : 'Reading with its unit', typed),
      ),
      make('p', { class: 'actions' }, ...view.checks(check)),
      told,
    );
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
    const answer = sure => {
      view.calm();
      view.answered(sure);
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
      make('p', { class: 'actions' }, ...view.checks(answer)),
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
});
