/* What there is to do at the bench on the page: a task from a kind and a seed, its steps with what
 * must hold when one is ticked, and whether what stands there is what a row asks for. Knows of no
 * elements. */
(function () {
  'use strict';
  const X = Bench.rules.exact;
  const S = Bench.simulated;
  const AHEAD = { voltage: 'V', current: 'A', frequency: 'V' };
  const isGiven = point => point.kind === 'given';
  const sourceOf = (data, point) =>
    data.standards.findIndex(one => one.id === (point.standard || ''));
  /** Where in the standards a point's value comes from: [standard, output]. */
  Bench.suppliesOf = function (data, meter, point) {
    const kind = meter.functions[point.f].kind,
      named = sourceOf(data, point),
      fits = one => one.gives.findIndex(offer => offer.kind === kind);
    const n =
      named >= 0 && fits(data.standards[named]) >= 0
        ? named
        : data.standards.findIndex(one => fits(one) >= 0);
    return [n, n < 0 ? -1 : fits(data.standards[n])];
  };

  /** Points for a covered value: harmless voltages and currents; for `share` only voltages of a
   * function whose input resistance is known. */
  Bench.coveredPoints = (data, meter, share = false) =>
    meter.points.filter(one => {
      if (!isGiven(one) || one.less !== undefined || one.relative || one.live || one.low <= 20)
        return false;
      const [n, k] = Bench.suppliesOf(data, meter, one),
        { quantity, ohms, ac } = meter.functions[one.f];
      if (n < 0 || data.standards[n].gives[k].quantity !== quantity) return false;
      return share
        ? quantity === 'voltage' && ohms && !ac
        : quantity === 'voltage' || quantity === 'current';
    });

  /** A task. `place` names a group or an area, or is null: the seed chooses. */
  Bench.benchTask = function (data, meterId, kind, seed, place = null) {
    const meter = data.meters.find(one => one.id === meterId);
    const draw = new S.Draw(seed, `task ${kind} ${meterId}`);
    const dial = draw.below(1000),
      left = draw.below(4) === 0,
      sticks = draw.below(6) === 0,
      spoilt = draw.below(2) === 0;
    const task = { kind, meterId, seed, points: [], fault: null, sticks: false, dial, left };
    const single = meter.points.filter(
      one => isGiven(one) && one.less === undefined && !one.relative,
    );
    if (kind === 'read' || kind === 'share') {
      const from = Bench.coveredPoints(data, meter, kind === 'share');
      const point = draw.one(from.length ? from : single);
      const on = meter.functions[point.f].ranges[point.r];
      const share = { n: BigInt(500 + draw.below(500)), d: 3 }; // of the planned value
      const value = X.multiply(X.from(point.sets), share),
        counted = X.floorDiv(value, X.from(on.step));
      task.covered = X.multiply({ n: counted, d: 0 }, X.from(on.step));
      task.point = point;
      if (kind === 'share') task.behind = draw.one(['100000', '1000000']);
    } else if (kind === 'point') {
      const point = draw.one(single);
      task.points = [point];
      task.fault = spoilt ? { kind: 'gain', f: point.f, r: point.r } : null;
    } else if (kind === 'group' || kind === 'sheet') {
      const all = kind === 'group' ? meter.groups.map(one => [one.title, [one]]) : sheets(meter);
      const [title, groups] = all[place === null ? draw.below(all.length) : place];
      task.title = title;
      task.parts = groups.map(one => [one.title, one.points.map(n => meter.points[n])]);
      task.points = task.parts.flatMap(([, points]) => points);
      const measured = new Set(task.points.map(one => one.f)),
        areas = meter.areas.filter(one => measured.has(one.f)),
        hidden = areas.flatMap(one => one.faults.filter(({ f }) => f !== undefined));
      task.fault = spoilt && hidden.length ? draw.one(hidden) : null;
    } else if (kind === 'fault') {
      task.area = meter.areas[place === null ? draw.below(meter.areas.length) : place];
      task.fault = draw.one(task.area.faults);
      task.hidden = task.fault;
      task.listed = task.area.points.map(n => meter.points[n]);
      if (task.fault.kind === 'none') task.fault = null;
    }
    task.sticks = sticks && task.points.some(one => one.live);
    const parts = task.parts || (task.points.length ? [['', task.points]] : []);
    task.steps = parts.flatMap(([group, points]) =>
      stepsOf(data, meter, points, meter.points).map(step => ({ ...step, group })),
    );
    return task;
  };

  /** The sheets of a meter, each with its groups on this bench, in its order. */
  const sheets = (Bench.sheetsOf = meter =>
    [...new Set(meter.groups.map(one => one.sheet))].map(sheet => [
      sheet,
      meter.groups.filter(one => one.sheet === sheet),
    ]));

  // ---------------------------------------------------------------- steps

  const list = jacks => jacks.join(' and ');

  function stepsOf(data, meter, points, all) {
    const first = points.find(isGiven),
      one = meter.functions[first.f],
      on = one.ranges[first.r],
      [n, k] = Bench.suppliesOf(data, meter, first),
      standard = data.standards[n],
      offer = standard.gives[k],
      box = Boolean(offer.values),
      live = points.some(point => point.live),
      zero = `0 ${AHEAD[offer.quantity] || ''}`;
    const ticks = [];
    const tick = (text, why) => ticks.push({ text, why });
    const standby = state =>
      state.energised() ? 'the output is on' : isZero(state) ? '' : 'it is not set to zero';
    if (!box) tick(`Source: ${zero}, standby`, standby);
    const dial = `Meter: dial to ${on.dial}` + (one.keys ? `; ${one.keys}` : '');
    tick(dial, state => onDial(state, first, meter));
    tick('Meter: relative and hold off', state =>
      state.held ? 'hold is on' : state.relative ? 'relative is on' : '',
    );
    for (const point of points.filter(point => !isGiven(point))) {
      tick(`Leads: in ${list(on.jacks)}, far ends ${point.kind}`, state =>
        endsAre(state, on.jacks, point.kind),
      );
      ticks.push({ row: point });
    }
    if (first.relative) {
      const kind = one.quantity === 'capacitance' ? 'apart' : 'together';
      tick(`Leads: in ${list(on.jacks)}, far ends ${kind}`, state =>
        endsAre(state, on.jacks, kind),
      );
      tick('Meter: relative on', state => (state.relative ? '' : 'relative is off'));
    }
    const pairs = on.jacks.map((jack, m) => `${jack} to ${offer.terminals[m]}`).join(', ');
    tick(`Leads: ${pairs} of ${standard.name}`, state =>
      state.standardNow() !== standard
        ? `${state.standardNow().name} stands beside the meter`
        : joinedAs(state, on.jacks, offer.terminals),
    );
    if (live) tick('Plugs: home at both ends. Hands: keep off', () => '');
    if (!box) tick('Source: output on', state => (state.on ? '' : 'the output is off'));
    const rows = points.filter(isGiven);
    rows.forEach((point, n) => {
      ticks.push({ row: point });
      if (!one.ranges[point.r].off || n + 1 === rows.length) return;
      tick(`Source: ${zero}, standby`, standby);
      tick(`Pause: ${Bench.benchSeconds(one.ranges[point.r].off)} with the output off`, state =>
        state.resting() ? 'the pause has not gone by' : '',
      );
      tick('Source: output on', state => (state.on ? '' : 'the output is off'));
    });
    if (!box) {
      tick(`Source: to ${zero}`, state => (isZero(state) ? '' : 'it is not at zero'));
      tick('Source: standby', state => (state.on ? 'the output is on' : state.stuck ? STUCK : ''));
    }
    if (live)
      tick('Meter: seen near zero', state =>
        state.isLive()
          ? `the display shows ${state.display().text} ${state.display().unit}`
          : state.hazard
            ? 'the meter that read the live value was not seen near zero'
            : '',
      );
    return ticks.map(step => (step.row ? { ...step, less: all[step.row.less] } : step));
  }
  const STUCK =
    'the meter still shows the value. Hands off: the source goes off at its mains switch';
  const isZero = state =>
    !state.value.n || !['voltage', 'current'].includes(state.offerNow().quantity);

  function onDial(state, point, meter) {
    const at = state.entryNow();
    if (at.f !== point.f)
      return `it measures ${state.functionNow().name}, not ${meter.functions[point.f].name}`;
    return at.places.includes(point.r) ? '' : 'this position has other ranges';
  }
  function endsAre(state, jacks, kind) {
    const there = jacks.map(jack => state.leads.find(lead => lead.jack === jack));
    return there.every(lead => lead && lead.end === kind) ? '' : 'they are not';
  }
  function joinedAs(state, jacks, terminals) {
    for (const [n, jack] of jacks.entries()) {
      const lead = state.leads.find(one => one.jack === jack);
      if (!lead) return `no lead is in ${jack}`;
      if (lead.end !== terminals[n]) return `the lead in ${jack} goes to ${lead.end}`;
    }
    return '';
  }

  // ---------------------------------------------------------------- readings and verdicts

  /** Why what stands at the bench isn't what a row asks for; '' where it is. */
  Bench.benchRow = function (data, meter, state, point) {
    const wrong = onDial(state, point, meter);
    if (wrong) return wrong;
    const now = state.display(),
      on = state.functionNow().ranges[point.r];
    if (now.isHeld) return 'hold is on';
    if (Boolean(state.relative) !== Boolean(point.relative))
      return state.relative ? 'relative is on' : 'relative is off';
    if (!isGiven(point)) return endsAre(state, on.jacks, point.kind);
    const [n, k] = Bench.suppliesOf(data, meter, point),
      standard = data.standards[n],
      offer = standard.gives[k];
    if (state.offerNow() !== offer) return `${standard.name} is to give ${offer.kind}`;
    const joined = joinedAs(state, on.jacks, offer.terminals);
    if (joined) return joined;
    if (state.behind.n) return 'a resistor lies in the way';
    if (offer.values) {
      if (X.compare(X.from(state.box.nominal), X.from(point.sets)) !== 0)
        return `the box stands at ${state.box.said}`;
    } else {
      if (!state.on) return 'the output is off';
      if (X.compare(state.value, X.from(point.sets)) !== 0)
        return `the source is set to ${Bench.benchText(state.value, state.unit())}`;
      if (
        offer.ac &&
        offer.quantity !== 'frequency' &&
        X.compare(state.hertz, X.from(point.hertz || '50')) !== 0
      )
        return `the source is set to ${Bench.benchText(state.hertz, 'Hz')}`;
      if (point.level && X.compare(state.level, X.from(point.level)) !== 0)
        return `the level is ${Bench.benchText(state.level, 'V')}`;
    }
    if (point.forced && state.hand === null) return 'the range is to be selected by hand';
    if (now.r !== point.r && now.text !== 'OL')
      return `the display is on the ${now.range} range, so the limits do not hold`;
    return '';
  };
})();
