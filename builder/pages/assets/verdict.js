/* What became of a reading: what builder/records/verdict.py does, once more, for the phone. Pure
 * functions: nothing here reads the page or keeps anything. tests/pages/test_verdict_js.py holds
 * every answer against the builder's own.
 *
 * Results hold texts in the spelling of the data files ("-0.540 V"); `pretty` makes them fit to be
 * read. Sentences (reason, note) are for reading already, and come from the builder's tables.
 */
(function () {
  'use strict';

  const { flickering, textOf, middle, display, pretty, says, unitOf } = window.Bench.rules;
  const {
    from: exact,
    add,
    subtract,
    multiply,
    compare,
    abs,
    negate,
    shift,
    whole,
    floorDiv,
    quotient,
    toText,
  } = window.Bench.rules.exact;
  const tables = window.Bench.tables;
  const { PASS, CONDITIONAL_PASS, CONDITIONAL_FAIL, FAIL, WRITTEN, INCOMPLETE, REFUSED } =
    tables.outcomes;

  const [LOWEST, HIGHEST, AT_ZERO] = tables.near_reference.map(exact);

  /* What became of one point of data/procedures/<id>.json. `typed` is the reading as text; `zero`
   * the typed reading of the leads, with `zeroPoint` the point that it was read at (the one whose
   * id is `point.zero`), for a point whose correction is 'subtract'; `reference` the typed reading
   * of the reference meter.
   * → {outcome: one of tables.outcomes, words: short, read: what was judged ("1.02 Ohm", after
   * correction),
   * error: reading − expected value, counts: the error in counts of the display, percent: the error
   * in percent of the tolerance, rounded for showing, beyond_tolerance: whether the error is larger
   * than the tolerance itself, whatever the decision rule, reason, note, corrected: where a
   * certificate adds to the reference reading, {value: the sum, low, high: what is accepted} } */
  function verdict(point, typed, { zero, zeroPoint, reference } = {}) {
    const unit = point.unit,
      step = exact(point.resolution),
      extremes = flickering(typed, display(point)),
      [reading] = extremes;
    const say = (outcome, word, more) => ({
      outcome,
      words: tables.short[word],
      read: textOf(extremes) || null,
      error: null,
      counts: null,
      percent: null,
      beyond_tolerance: false,
      reason: '',
      note: reading.note,
      corrected: null,
      ...more,
    });
    if (reading.kind === 'empty') return say(INCOMPLETE, 'no-reading');
    if (reading.kind === 'refused') return say(REFUSED, 'check-entry', { reason: reading.reason });
    if (point.kind === 'observation') return say(WRITTEN, 'written-down');

    // What stands at the input: a certified value, a source's under load, or what is applied.
    let expected = exact(point.expected || point.apply);
    if (point.kind === 'reference') {
      const at = point.reference.resolution,
        decimals = (at.split(' ')[0].split('.')[1] || '').length;
      // before and after, a semicolon between
      const wanted = point.reference.twice ? 2 : 1;
      const read = String(reference ?? '')
        .split(';')
        .map(one => flickering(one, { unit, decimals, resolution: at }));
      const refused = read.flat().find(one => one.kind === 'refused');
      if (refused) return say(REFUSED, 'check-reference', { reason: refused.reason });
      const missing = read.filter(([one]) => one.kind === 'empty').length;
      if (missing === read.length) return say(INCOMPLETE, 'no-reference');
      if (read.length > wanted)
        return say(REFUSED, 'check-reference', {
          reason: says('too-many-references', { text: reference.trim().slice(0, 30) }),
        });
      if (missing || read.length < wanted) return say(INCOMPLETE, 'one-reference');
      if (read.flat().some(one => one.kind !== 'number'))
        return say(REFUSED, 'check-reference', { reason: says('no-reference') });
      const others = read.map(middle);
      // The row of the accuracy table was chosen for about this value; the sheet's own table ends
      // there too.
      const size = abs(expected);
      const isNear = other => {
        const same = expected.n < 0n ? negate(other) : other;
        return size.n === 0n
          ? compare(abs(same), multiply(exact(point.range), AT_ZERO)) <= 0
          : compare(same, multiply(size, LOWEST)) >= 0 &&
              compare(same, multiply(size, HIGHEST)) < 0;
      };
      const added = exact(point.reference.correction || `0 ${unit}`);
      if (!others.every(one => isNear(one) && isNear(add(one, added))))
        return say(REFUSED, 'check-reference', {
          reason: says('reference-far', { about: pretty(point.apply) }),
        });
      const [first, last] = [others[0], others[others.length - 1]];
      const { apart } = point.reference;
      if (apart && compare(abs(subtract(last, first)), exact(apart)) > 0)
        return say(INCOMPLETE, 'reference-moved');
      expected = add(middle(others.map(value => ({ value }))), added);
    }
    const sides = sidesOf(point, expected);
    // Of the step that the reference reading belongs to; older data have one for all.
    const holds = step => compare(abs(expected), exact(step.below)) < 0;
    const band =
      point.kind === 'reference'
        ? ((point.reference.at || []).find(holds) || point.reference).guard_band
        : null;
    const guard = band === null ? null : exact(band);
    const undecided =
      point.kind === 'reference'
        ? guard === null || compare(sides.above, guard) < 0
        : point.accept === null;
    const UNDECIDED = says('undecided');
    if (extremes.some(one => one.kind === 'overload')) {
      return undecided
        ? say(WRITTEN, 'not-decided', { beyond_tolerance: sides !== null, reason: UNDECIDED })
        : say(FAIL, 'not-within', {
            beyond_tolerance: sides !== null,
            note: tables.short.overload,
          });
    }
    let off = whole(0);
    if (point.correction === 'subtract' && point.kind !== 'zero') {
      if (!zeroPoint || zeroPoint.id !== point.zero)
        throw new TypeError(`${point.id} needs the point ${point.zero}`);
      const leads = flickering(zero, display(zeroPoint));
      if (leads[0].kind === 'empty') return say(INCOMPLETE, 'no-leads');
      if (leads.some(one => one.kind !== 'number'))
        return say(REFUSED, 'check-leads', { reason: leads[0].reason || says('leads-overload') });
      // The leads may have been read on a range with another prefix.
      off = shift(middle(leads), unitOf(zeroPoint.unit).power - unitOf(unit).power);
    }
    // Of a reading that flickers the extreme farther from the middle of the limits is judged.
    const limits = point.kind === 'reference' ? null : point.accept || point.tolerance_limits;
    const centre = limits
      ? multiply(multiply(whole(limits.low_counts + limits.high_counts), { n: 5n, d: 1 }), step)
      : expected;
    const [value] = extremes
      .map(one => subtract(one.value, off))
      .sort((a, b) => {
        const nearer = compare(abs(subtract(b, centre)), abs(subtract(a, centre)));
        return nearer || compare(b, a);
      });
    const error = subtract(value, expected);
    const tolerance = sides && (error.n < 0n ? sides.below : sides.above);
    const finest = point.kind === 'reference' ? exact(point.reference.step) : null;
    // cut off, never rounded up
    const cutOff = room => multiply(whole(floorDiv(room, finest)), finest);
    const shown = one => `${toText(one, point.decimals)} ${unit}`;
    const sum = () => {
      const room = undecided ? null : cutOff(subtract(tolerance, guard));
      return {
        value: shown(expected),
        low: room && shown(subtract(expected, room)),
        high: room && shown(add(expected, room)),
      };
    };
    const measured = {
      corrected: finest && point.reference.correction ? sum() : null,
      read: shown(value),
      error: shown(error),
      counts: toText(quotient(error, step)),
      percent: tolerance !== null && tolerance.n > 0n ? percentText(error, tolerance) : null,
      beyond_tolerance: tolerance !== null && compare(abs(error), tolerance) > 0,
    };
    if (undecided) return say(WRITTEN, 'not-decided', { ...measured, reason: UNDECIDED });

    /* A listed point's limits are whole counts that the builder computed. A raw reading is a whole
     * number of counts itself, so this compares counts; a corrected one may have finer digits, and
     * is compared with all of them. */
    const within = limits =>
      compare(value, multiply(whole(limits.low_counts), step)) >= 0 &&
      compare(value, multiply(whole(limits.high_counts), step)) <= 0;
    const near = room => compare(abs(error), cutOff(room)) <= 0;
    const [accepted, tolerated, conditional] = finest
      ? [
          () => near(subtract(tolerance, guard)),
          () => near(tolerance),
          () => near(add(tolerance, guard)),
        ]
      : [
          () => within(point.accept),
          () => within(point.tolerance_limits),
          () => within(point.conditional),
        ];
    if (accepted()) return say(PASS, 'within', measured);
    if (point.conditional && tolerated())
      return say(CONDITIONAL_PASS, 'conditional-pass', measured);
    if (point.conditional && conditional())
      return say(CONDITIONAL_FAIL, 'conditional-fail', measured);
    return say(FAIL, 'not-within', measured);
  }

  // How far a good meter may read below and above what stands at the input; null without limits.
  function sidesOf(point, expected) {
    const at = ({ slope, offset }) => add(multiply(exact(slope), abs(expected)), exact(offset));
    // an older record's data know of one line only
    if (point.slope != null) return { below: at(point), above: at(point) };
    return point.below ? { below: at(point.below), above: at(point.above) } : null;
  }

  /* What a displayed value looks like that nobody confirmed: records/plausible.py once more. "" for
   * no slip. */
  function slip(point, typed) {
    if (point.kind === 'observation') return '';
    const applied = exact(point.expected || point.apply);
    const tenth = multiply(abs(applied), { n: 1n, d: 1 });
    const isNear = value => compare(abs(subtract(value, applied)), tenth) <= 0;
    for (const { value } of flickering(typed, display(point))) {
      if (!value || (point.accept && inside(point.accept, value))) continue;
      if (applied.n !== 0n) {
        if (value.n !== 0n && isNear(negate(value))) return 'lost-sign';
        const same = value.n < 0n === applied.n < 0n && value.n !== 0n;
        if (same && !isNear(value) && PLACES.some(n => isNear(shift(value, n))))
          return 'lost-point';
      }
      if (point.highest && compare(abs(value), exact(point.highest)) > 0) return 'past-the-end';
    }
    return '';
  }
  /** What is asked about such a value, as a verdict would stand there. */
  const asked = (kind, point) => ({
    outcome: REFUSED,
    words: tables.short['check-entry'],
    read: null,
    error: null,
    counts: null,
    percent: null,
    reason: says(kind, { applied: pretty(point.apply), highest: pretty(point.highest || '') }),
    note: '',
  });
  const PLACES = [-6, -5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 6];
  const inside = (limits, value) =>
    compare(value, exact(limits.low)) >= 0 && compare(value, exact(limits.high)) <= 0;

  // One decimal, half away from zero: for showing only, nothing is decided by it.
  function percentText(error, tolerance) {
    const tenths = floorDiv(
      add(multiply(abs(error), whole(2000)), tolerance),
      multiply(tolerance, whole(2)),
    );
    return toText({ n: error.n < 0n ? -tenths : tenths, d: 1 }, 1);
  }

  Object.assign(window.Bench.rules, { verdict, slip, asked, percentText });
})();
