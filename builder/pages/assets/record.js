/* A record: what was typed at a sheet, judged by the limits that the record itself carries. Pure
 * functions over a procedure's data and the fields that `store.js` keeps; nothing here touches the
 * page. */
(function () {
  'use strict';
  const Bench = (window.Bench = window.Bench || {});
  const record = (Bench.record = {});
  const { PASS, CONDITIONAL_PASS, CONDITIONAL_FAIL, FAIL, WRITTEN, INCOMPLETE, REFUSED } =
    Bench.tables.outcomes;

  const text = (fields, name) => {
    const one = fields.get(name);
    return one ? String(one.value).trim() : '';
  };
  record.text = text;

  /** The reading of the leads alone that is taken off a point: its last try. */
  const zeroOf = (data, zeroPoint, fields) =>
    (record.tries(data, zeroPoint, fields).slice(-1)[0] || { reading: '' }).reading;

  // fields → point → what was typed and what it was found to be: most points stay as they are
  const judged = new WeakMap();

  /** The tries at one point, first one first: {n, reading, reference, at, result, cause}. A try at
   * which nothing was typed isn't one; readings of it that were changed after they stood come
   * before it, with `why`. */
  record.tries = function (data, point, fields) {
    const subtract = point.zero && point.correction === 'subtract';
    const zeroPoint = subtract ? data.points.find(one => one.id === point.zero) : undefined;
    const zero = zeroPoint ? zeroOf(data, zeroPoint, fields) : '';
    const typed = ['1', '2'].map(n =>
      ['', '/reference', '/after'].map(name => fields.get(`point/${point.id}/${n}${name}`)),
    );
    const beside = ['cause', 'kept', '1/confirmed', '2/confirmed'].map(name =>
      text(fields, `point/${point.id}/${name}`),
    );
    if (!judged.has(fields)) judged.set(fields, new Map());
    const known = judged.get(fields);
    const key = [zero, ...typed.flat(), ...beside]; // a field that changes is another object
    const before = known.get(point);
    if (before && before.key.every((one, n) => one === key[n])) return before.tries;
    const judge = function (one) {
      const slip = one.confirmed ? '' : Bench.rules.slip(point, one.reading);
      const cause = VOIDS.includes(one.cause) ? one.cause : '';
      const result = slip
        ? Bench.rules.asked(slip, point)
        : Bench.rules.verdict(point, one.reading, { zero, zeroPoint, reference: one.reference });
      return { ...one, cause, slip, result };
    };
    const tries = typed
      .flatMap(([own, other, after], k) => {
        const n = String(k + 1);
        const [reading, first, behind] = [own, other, after].map(one =>
          one ? String(one.value).trim() : '',
        );
        const twice = point.reference && point.reference.twice && (first || behind);
        const reference = twice ? `${first}; ${behind}` : first;
        const confirmed = text(fields, `point/${point.id}/${n}/confirmed`) === 'yes';
        const cause = n === '1' ? text(fields, `point/${point.id}/cause`) : '';
        const again = record.standsAgain(point, n, reading, reference, fields);
        const { at } = again || own || other || after || { at: null };
        const changed = record.changed(point, n, reading, reference, fields);
        return [
          ...changed.map(one => ({ ...one, cause: one.why, why: one.why || '?' })),
          { n, reading, reference, confirmed, cause, at },
        ];
      })
      .filter(one => one.reading !== '' || one.reference !== '')
      .map(judge);
    known.set(point, { key, tries });
    return tries;
  };

  /** The outcomes that say something about a point. */
  const DONE = (record.DONE = [PASS, CONDITIONAL_PASS, CONDITIONAL_FAIL, FAIL, WRITTEN]);
  /** A cause at the bench voids a reading; of all others the worst counts. To read again voids
   * nothing. */
  const VOIDS = (record.VOIDS = [
    'the wrong range',
    'a lead was not home',
    'the zero',
    'misread',
    'mistyped',
  ]);
  /** Work on the meter in the midst of the record: {step, done}, or null. */
  record.workedOn = function (fields) {
    const [step, done] = ['work_step', 'work_done'].map(name => text(fields, name));
    return step || done ? { step, done } : null;
  };
  record.counted = (data, point, fields) => worst(record.tries(data, point, fields));
  const worst = (record.worst = function (tries) {
    const standing = tries.filter(one => DONE.includes(one.result.outcome) && !one.cause);
    const size = one => DONE.indexOf(one.result.outcome);
    return standing.reduce((found, one) => (size(one) > size(found) ? one : found), standing[0]);
  });
  record.outcome = function (data, point, fields) {
    const one = record.counted(data, point, fields);
    return one ? one.result.outcome : '';
  };

  const failed = (record.failed = outcome => outcome === FAIL || outcome === CONDITIONAL_FAIL);

  const SIGN = {
    [PASS]: '✓',
    [FAIL]: '✗',
    [CONDITIONAL_PASS]: '◐',
    [CONDITIONAL_FAIL]: '◑',
    [WRITTEN]: '✎',
    [REFUSED]: '?',
    [INCOMPLETE]: '…',
  };
  const signed = number =>
    number.startsWith('-') ? '−' + number.slice(1) : /[1-9]/.test(number) ? '+' + number : number;

  /** What a try was found to be: its verdict with a sign, and the rest in words. */
  record.says = function ({ outcome, words, counts, percent, reason, note }) {
    return {
      verdict: `${SIGN[outcome]} ${words}`,
      chip: failed(outcome)
        ? 'chip bad'
        : [PASS, CONDITIONAL_PASS].includes(outcome)
          ? 'chip good'
          : null,
      rest:
        reason ||
        [
          counts !== null && `${signed(counts)}\u00a0count${/^-?1$/.test(counts) ? '' : 's'}`,
          percent !== null && `${signed(percent)}\u00a0% of tolerance`,
          note,
        ]
          .filter(Boolean)
          .join(' · '),
    };
  };

  /** How far a record is, as numbers and in words: "23 of 62 · 1 failed · 38 left". */
  record.progress = function (data, fields) {
    const points = data.points.map(point => record.outcome(data, point, fields));
    const checks = data.checks.map(check => record.said(check, fields));
    const of = points.length + checks.length;
    const done = points.filter(Boolean).length + checks.filter(Boolean).length;
    const bad = points.filter(failed).length + checks.filter(one => one === 'no').length;
    return {
      done,
      of,
      failed: bad,
      left: of - done,
      words: `${done} of ${of}` + (bad ? ` · ${bad} failed` : '') + ` · ${of - done} left`,
    };
  };

  const byStep = new Intl.Collator('en', { numeric: true }).compare;
  /** Steps that failed and steps that were not done, for the box at the end of the sheet. */
  record.open = function (data, fields) {
    const bad = [];
    const undone = [];
    for (const point of data.points) {
      const outcome = record.outcome(data, point, fields);
      if (!outcome) undone.push(point.step);
      else if (failed(outcome)) bad.push(point.step);
    }
    for (const check of data.checks) {
      const said = record.said(check, fields);
      if (!said) undone.push(check.step);
      else if (said === 'no') bad.push(check.step);
    }
    return { failed: bad.sort(byStep), undone: undone.sort(byStep) };
  };
})();
