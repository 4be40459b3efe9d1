/* What a record states so far: records/ground.py and record_statement.py once more, for the state
 * that one record is of. Pure functions over a procedure's data and the fields of a record. */
(function () {
  'use strict';
  const { record, rules, statement } = Bench;
  const { text } = record;
  const { from: exact, add, multiply, compare, whole } = rules.exact;
  const day = typed => (record.isDay(typed) ? typed : '');

  const fahrenheit = value => add(multiply(value, { n: 18n, d: 1 }), whole(32));

  /** Whether a condition that was typed is inside its band: true, false, or null where the two can
   * not be compared. `unit` is that of the band. */
  record.isInside = function (typed, band, unit) {
    const ends = /^(?:(-?[\d.]+)[^\d-]* to )?(?:up to |at most )?(-?[\d.]+)/.exec(
      band.replace(/−/g, '-'),
    );
    const read = rules.typedNumber(typed, true);
    if (!typed || !ends || read.reason) return null;
    const own = read.rest && rules.typedUnit(read.rest.replace(/^°(?=[CF]$)/, 'deg'));
    const other = { degC: 'degF', degF: 'degC' }[unit];
    if (read.rest && !(own && [unit, other].includes(own.text))) return null;
    const [, low = '0', high] = ends;
    // Exact in degrees Fahrenheit, whichever of the two is in them.
    const differ = own && own.text === other;
    const value = differ && unit === 'degF' ? fahrenheit(read.value) : read.value;
    const end = text => (differ && unit === 'degC' ? fahrenheit(exact(text)) : exact(text));
    return compare(value, end(low)) >= 0 && compare(value, end(high)) <= 0;
  };
  const conditions = data =>
    [
      ['ambient', data.holds, data.ambient_unit],
      ['humidity', data.humidity, '%'],
    ].filter(([, band]) => band);

  /** What is wrong with a standard on the day of the work, or "". */
  record.standardSays = function (one, fields) {
    const name = `standard/${one.standard}/`;
    const due = text(fields, name + 'due') || one.due;
    const certificate = text(fields, name + 'certificate') || one.certificate;
    const from = certificate === one.certificate && one.calibrated;
    const on = text(fields, 'date');
    if (!record.isDay(due)) return `${one.name} has no due date.`;
    if (!record.isDay(on)) return '';
    if (due < on) return `${one.name} was due on ${due}.`;
    if (!from) return `${one.name}: the day of calibration of ${certificate} is not known.`;
    return from > on ? `${one.name} was calibrated on ${from}, after the work.` : '';
  };

  /** What keeps every reading from being judged, in words. */
  record.lacks = function (data, fields) {
    const found = [];
    for (const [name, band, unit] of conditions(data)) {
      const read = ['', '_end'].map(end => text(fields, name + end));
      const inside = read.map(one => record.isInside(one, band, unit));
      if (inside.includes(false)) found.push(`The ${name} is outside ${band}.`);
      else if (read.includes('')) found.push(`The ${name} is not written down at start and end.`);
      else if (inside.includes(null)) found.push(`The ${name} can not be compared with ${band}.`);
    }
    for (const check of data.checks)
      if (check.warm_up && counts(check, fields) !== 'yes')
        found.push(`Step ${check.step}, ${check.check}, is not answered good.`);
    return found;
  };
  const given = (check, fields) =>
    record.answers(check, fields).filter(one => one.answer !== record.NOT_HERE || one.by);
  const word = (check, one) =>
    one.answer === 'yes' && record.isNotAsked(check, one.write || '') ? 'no' : one.answer;
  const counts = (check, fields) => {
    const [first] = given(check, fields);
    const isNo = text(fields, 'state') === 'as found' && first && word(check, first) === 'no';
    return (isNo ? 'no' : record.said(check, fields)) || 'blank';
  };

  // formats/worked_on.py once more.
  const position = step => (step === 'end' ? [Infinity, 0] : step.split('.').map(Number));
  const behind = (a, b) => a[0] - b[0] || a[1] - b[1];

  /** How many answers at a step are from before that work, the first ones first; none where nobody
   * can say at which step it was done. */
  record.thatStand = function (data, fields, step, answers, firstIsNo) {
    const work = text(fields, 'state') === 'as left' ? null : record.workedOn(fields);
    if (!work) return answers;
    const order = record.isStep(data, work.step) ? behind(position(step), position(work.step)) : 1;
    if (order < 0) return answers;
    return order === 0 && answers && (answers > 1 || firstIsNo) ? 1 : 0;
  };
  const countsAsFound = (data, check, fields) => {
    const all = given(check, fields);
    const no = all.length > 0 && word(check, all[0]) === 'no';
    const stand = record.thatStand(data, fields, check.step, all.length, no);
    if (stand === all.length) return counts(check, fields);
    return stand ? word(check, all[0]) : 'blank';
  };

  /** Points, checks and live groups as data/reports/<number>.json has them. */
  record.stated = function (data, fields) {
    const lacks = record.lacks(data, fields).length > 0;
    const bad = data.standards.filter(
      one => record.standardSays(one, fields) || !day(text(fields, 'date')),
    );
    // What the ambient and the humidity were read with counts at every point.
    const limited = conditions(data).map(([name]) => name);
    const reads = one => (one.reads || []).some(name => limited.includes(name));
    const of = tries => (record.worst(tries) || { result: { outcome: '' } }).result.outcome;
    const outcomes = new Map();
    const leadsOf = new Map(); // those that count after the work have theirs from after it too
    for (const point of data.points) {
      const tries = record.tries(data, point, fields);
      const stand = record.thatStand(data, fields, point.step, tries.length);
      outcomes.set(point.id, of(tries.slice(0, stand)));
      leadsOf.set(point.id, of(stand < tries.length ? tries.slice(stand) : tries));
    }
    const proving = data.groups.filter(group => group.stage === 'proving').map(one => one.group);
    const points = data.points
      .filter(point => point.kind !== 'zero' && !proving.includes(point.group))
      .map(point => {
        const outcome = outcomes.get(point.id);
        const standards = point.standards && point.standards.length ? point.standards : null;
        const leads = point.zero && leadsOf.has(point.zero) ? leadsOf.get(point.zero) : 'pass';
        const planned = point.kind === 'observation' ? 'observation' : 'limits';
        return {
          step: point.step,
          function: point.function,
          planned,
          outcome: !outcome
            ? 'blank'
            : outcome !== 'written down'
              ? outcome
              : planned === 'limits'
                ? 'undecided'
                : 'observed',
          ground:
            !lacks &&
            !bad.some(
              one => !standards || standards.includes(one.standard) || reads(one),
            ) &&
            leads !== '' &&
            !record.failed(leads),
        };
      });
    const used = jack => [
      ...new Set(data.points.filter(one => one.jacks.includes(jack)).map(one => one.function)),
    ];
    const checks = data.checks.map(check => {
      const none = !check.stops || check.stops === 'nothing';
      const stops = none ? check.covers || 'nothing' : check.stops;
      const whole = stops === 'everything' || stops === 'nothing';
      return {
        step: check.step,
        answer: countsAsFound(data, check, fields),
        of: check.of || 'meter',
        stops,
        functions: whole ? [] : used(stops).length ? used(stops) : [stops],
      };
    });
    const live_groups = data.groups
      .filter(group => group.hazard)
      .map(group => ({ group, own: data.points.filter(one => one.group === group.group) }))
      .filter(
        ({ group, own }) =>
          Boolean(text(fields, 'open/' + group.group)) ||
          own.some(point => record.tries(data, point, fields).length) ||
          record.ended(data, group, fields) !== 'no',
      )
      .map(({ group, own }) => ({
        group: group.group,
        closed: record.ended(data, group, fields),
        functions: [...new Set(own.map(point => point.function))],
      }));
    const names = [
      ...new Set([
        ...points.map(point => point.function),
        ...checks.flatMap(check => check.functions.filter(name => name === check.stops)),
      ]),
    ];
    const report = { points, checks, live_groups };
    return {
      ...report,
      statement: statement.ofMeter(names, report),
      functions: names.map(name => [name, statement.ofFunction(name, report)]),
    };
  };
})();
