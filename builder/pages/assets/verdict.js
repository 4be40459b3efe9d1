/* The rules of limits and verdicts for the pages: what stands in builder/compute, once more, for the phone.
 *
 * A classic script without requests, modules or a build step, so that it works from a folder. Pure functions: nothing
 * here reads the page or keeps anything. tests/pages/test_verdict_js.py holds every answer against the builder's own.
 *
 * Numbers are exact: {n, d} stands for n / 10^d, n a BigInt. A Number would round 0.1 before the first comparison.
 * Results hold texts in the spelling of the data files ("-0.540 V"); `pretty` makes them fit to be read. Sentences
 * (reason, note, hint, lines) are for reading already. Only the `value` of `parse` is an exact number, which JSON can't hold.
 */
(function () {
  'use strict';

  // ---------------------------------------------------------------- exact numbers

  const ten = power => 10n ** BigInt(power);
  const shift = (a, power) =>
    a.d < power ? { n: a.n * ten(power - a.d), d: 0 } : { n: a.n, d: a.d - power }; // a · 10^power
  const aligned = (a, b) => {
    const d = Math.max(a.d, b.d);
    return [a.n * ten(d - a.d), b.n * ten(d - b.d), d];
  };
  const add = (a, b) => {
    const [m, n, d] = aligned(a, b);
    return { n: m + n, d };
  };
  const negate = a => ({ n: -a.n, d: a.d });
  const subtract = (a, b) => add(a, negate(b));
  const multiply = (a, b) => ({ n: a.n * b.n, d: a.d + b.d });
  const compare = (a, b) => {
    const [m, n] = aligned(a, b);
    return m < n ? -1 : m > n ? 1 : 0;
  };
  const abs = a => (a.n < 0n ? negate(a) : a);
  const ZERO = { n: 0n, d: 0 };
  const whole = n => ({ n: BigInt(n), d: 0 });

  // floor(a / b) as a BigInt. BigInt division cuts toward zero, which would move a negative limit outward.
  function floorDiv(a, b) {
    const [m, n] = aligned(a, b),
      cut = m / n;
    return m % n !== 0n && m < 0n !== n < 0n ? cut - 1n : cut;
  }
  const ceilDiv = (a, b) => -floorDiv(negate(a), b);

  // a / b where that ends: b is a display's step, whose digits are 1, 2 or 5 and zeros.
  function quotient(a, b) {
    const d = a.d + String(b.n).length;
    return { n: floorDiv(shift(a, d), b), d };
  }

  // "-1.50" → -150 / 10^2; a unit behind it is left out.
  function exact(text) {
    const [, sign, before, after = ''] = /^(-?)(\d+)(?:\.(\d+))?(?: |$)/.exec(text);
    return { n: BigInt(sign + before + after), d: after.length };
  }

  // All its decimals, and at least so many.
  function toText(a, atLeast = 0) {
    let { n, d } = abs(a);
    while (d > atLeast && n % 10n === 0n) {
      n /= 10n;
      d -= 1;
    }
    if (d < atLeast) {
      n *= ten(atLeast - d);
      d = atLeast;
    }
    const digits = String(n).padStart(d + 1, '0');
    return (a.n < 0n ? '-' : '') + (d ? digits.slice(0, -d) + '.' + digits.slice(-d) : digits);
  }

  // ---------------------------------------------------------------- units

  const SPACE = '\u00a0';
  const POWERS = { p: -12, n: -9, u: -6, m: -3, '': 0, k: 3, M: 6, G: 9 };
  const BASES = { v: 'V', a: 'A', ohm: 'Ohm', ohms: 'Ohm', f: 'F', s: 'S', hz: 'Hz' };
  const ALONE = {
    '%': '%',
    percent: '%',
    degc: 'degC',
    '°c': 'degC',
    '℃': 'degC',
    degf: 'degF',
    '°f': 'degF',
    '℉': 'degF',
  };

  // What a unit's text means, or null: {base, power, text}, in the spelling of the data files. Capitals matter only where
  // they tell milli from mega.
  function unitOf(typed) {
    const text = typed
      .replace(/[\u00b5\u03bc]/g, 'u')
      .replace(/[\u03a9\u2126]/g, 'ohm')
      .replace(/^(pico|nano|micro|milli|kilo|mega?|giga)(?=[a-z])/i, word =>
        /^meg/i.test(word) ? 'M' : /^mic/i.test(word) ? 'u' : word[0].toLowerCase(),
      );
    const alone = ALONE[text.toLowerCase().replace(/^(deg|°) /, '$1')];
    if (alone) return { base: alone, power: 0, text: alone };
    const found = /^([pnumkg]?)(v|a|ohms?|f|s|hz)$/i.exec(text);
    if (!found) return null;
    const prefix = /[mM]/.test(found[1]) ? found[1] : found[1].toLowerCase().replace('g', 'G');
    const base = BASES[found[2].toLowerCase()];
    return { base, power: POWERS[prefix], text: prefix + base };
  }

  const shownUnit = unit =>
    unit
      .replace('deg', '°')
      .replace('Ohm', 'Ω')
      .replace(/^u(?=.)/, 'µ');

  // A quantity of the data files as a reader expects it: "-3 uV" → "−3 µV", with a space that doesn't break.
  const pretty = text =>
    text.replace(/-(?=\d)/g, '−').replace(/ (\S+)$/, (_, unit) => SPACE + shownUnit(unit));

  // ---------------------------------------------------------------- what people type

  const NUMBER =
    /^([+\-−–]?)\s*(\d{1,3}(?:[ \u00a0\u2009\u202f]\d{3})+|\d*)(?:([.,])(\d*))?\s*(.*)$/;
  const OVERLOAD = /^[+\-−–]?\s*\.?(?:[o0]\.?l\.?|over ?load|over|ovl|ofl)\s*(.*)$/i;

  // {value, decimals, rest} or {reason}. `sure`: it is known how many decimals to expect, so "1,500" has one meaning.
  function typedNumber(text, sure) {
    const [, sign, before, mark, after = '', rest] = NUMBER.exec(text);
    if (!before && !after) return { reason: `“${text.slice(0, 30)}” is no number` };
    if (
      /^[\d.,'’]/.test(rest) ||
      (!sure && mark === ',' && /^[1-9]\d{0,2}$/.test(before) && after.length === 3)
    )
      return {
        reason: `“${text.slice(0, 30)}” can be read in two ways: write a point before decimals, and nothing between thousands`,
      };
    const digits = before.replace(/\D/g, '') + after;
    if (digits.length > 18) return { reason: 'more digits than any display shows' };
    const n = BigInt(digits);
    return {
      value: { n: sign && sign !== '+' ? -n : n, d: after.length },
      decimals: after.length,
      rest: rest.trim(),
    };
  }

  /* A typed reading. `unit` is the sheet's; `resolution` and `highest` are quantities in it or missing; without `decimals`
   * any number of digits will do; `minus: false` for a display without a sign.
   * → {kind: 'number' | 'overload' | 'refused' | 'empty', value: exact or null, text: "1.000 V" or "OL", reason, note}
   * Fewer digits than the display shows are completed by zeros, which changes no value, and the note says so. More are
   * refused, zeros too: the meter is on another range then, and the limits don't hold there. */
  function parse(typed, { unit, decimals, minus = true, resolution, highest } = {}) {
    const result = (kind, more) => ({ kind, value: null, text: '', reason: '', note: '', ...more });
    const refused = reason => result('refused', { reason });
    const text = String(typed ?? '').trim(),
      name = shownUnit(unit);
    const wrongUnit = rest => {
      if (!rest || (/^deg/.test(unit) && (rest === '°' || rest === unit[3]))) return '';
      const found = unitOf(rest),
        own = unitOf(unit);
      if (found === null)
        return `“${rest.slice(0, 20)}” is no unit known here: this reading is in ${name}`;
      if (found.text === own.text) return '';
      return found.base === own.base
        ? `the sheet is in ${name}, not in ${shownUnit(found.text)}: if the display shows ${shownUnit(found.text)}, it is on another range`
        : `this reading is in ${name}, not in ${shownUnit(found.text)}`;
    };
    if (!text) return result('empty');
    const over = OVERLOAD.exec(text);
    if (over)
      return wrongUnit(over[1]) ? refused(wrongUnit(over[1])) : result('overload', { text: 'OL' });
    const read = typedNumber(text, decimals !== undefined);
    if (read.reason) return refused(read.reason);
    if (wrongUnit(read.rest)) return refused(wrongUnit(read.rest));
    const value = read.value;
    if (!minus && value.n < 0n) return refused('this display shows no minus');
    if (decimals !== undefined && read.decimals > decimals)
      return refused(
        `the display shows ${decimals === 0 ? 'no decimals' : decimals === 1 ? 'one decimal' : decimals + ' decimals'} on this range: with more it is on another`,
      );
    const step = resolution && exact(resolution);
    if (step && compare(multiply(whole(floorDiv(value, step)), step), value) !== 0)
      return refused(`the display counts in steps of ${pretty(resolution)} on this range`);
    if (highest && compare(abs(value), exact(highest)) > 0)
      return refused(`this range ends at ${pretty(highest)}`);
    const full = toText(value, decimals ?? read.decimals);
    return result('number', {
      value,
      text: `${full} ${unit}`,
      note: read.decimals < decimals ? `read as ${pretty(full)}` : '',
    });
  }

  /* What `parse` must know of a point's display. An observation has no limits, and often shows something else than its
   * range does: any digits will do there. */
  function display(point) {
    if (point.find === 'bandwidth') return { unit: 'Hz' };
    if (point.find === 'sensitivity') return { unit: point.level.split(' ')[1] };
    return point.kind === 'observation'
      ? { unit: point.unit }
      : { unit: point.unit, decimals: point.decimals, resolution: point.resolution };
  }

  // ---------------------------------------------------------------- the verdict on a point

  const FAR = [exact('0.8'), exact('1.25'), exact('0.01')];

  /* What became of one point of data/procedures/<id>.json. `typed` is the reading as text; `zero` the typed reading of the
   * leads, with `zeroPoint` the point that it was read at (the one whose id is `point.zero`), for a point whose correction is
   * 'subtract'; `reference` the typed reading of the reference meter.
   * → {outcome: 'pass' | 'conditional pass' | 'conditional fail' | 'fail' | 'written down' | 'incomplete' | 'refused',
   *    words: short, read: what was judged ("1.02 Ohm", after correction), error: reading − expected value, counts: the error in
   *    counts of the display, percent: the error in percent of the tolerance, rounded for showing, beyond_tolerance: whether
   *    the error is larger than the tolerance itself, whatever the decision rule, reason, note} */
  function verdict(point, typed, { zero, zeroPoint, reference } = {}) {
    const unit = point.unit,
      step = exact(point.resolution),
      reading = parse(typed, display(point));
    const say = (outcome, words, more) => ({
      outcome,
      words,
      read: reading.text || null,
      error: null,
      counts: null,
      percent: null,
      beyond_tolerance: false,
      reason: '',
      note: reading.note,
      ...more,
    });
    if (reading.kind === 'empty') return say('incomplete', 'no reading');
    if (reading.kind === 'refused')
      return say('refused', 'check the entry', { reason: reading.reason });
    if (point.kind === 'observation') return say('written down', 'written down');

    // What stands at the input: a certified value, a source's under load, or what is applied.
    let expected = exact(point.expected || point.apply);
    if (point.kind === 'reference') {
      const at = point.reference.resolution,
        decimals = (at.split(' ')[0].split('.')[1] || '').length;
      const other = parse(reference, { unit, decimals, resolution: at });
      if (other.kind === 'empty') return say('incomplete', 'no reference reading');
      if (other.kind !== 'number')
        return say('refused', 'check the reference', {
          reason:
            other.reason ||
            'without a reading of the reference meter there is nothing to compare with',
        });
      // The row of the accuracy table was chosen for about this value; the sheet's own table ends there too.
      const same = expected.n < 0n ? negate(other.value) : other.value,
        size = abs(expected);
      const near =
        size.n === 0n
          ? compare(abs(same), multiply(exact(point.range), FAR[2])) <= 0
          : compare(same, multiply(size, FAR[0])) >= 0 && compare(same, multiply(size, FAR[1])) < 0;
      if (!near)
        return say('refused', 'check the reference', {
          reason: `the limits hold for a reference reading of about ${pretty(point.apply)}`,
        });
      expected = other.value;
    }
    const slope = point.slope === null ? null : exact(point.slope);
    const tolerance =
      slope === null ? null : add(multiply(slope, abs(expected)), exact(point.offset));
    const guard =
      point.kind === 'reference' && point.reference.guard_band !== null
        ? exact(point.reference.guard_band)
        : null;
    const undecided =
      point.kind === 'reference'
        ? guard === null || compare(tolerance, guard) < 0
        : point.accept === null;
    const UNDECIDED = 'can’t be verified with this standard under this rule';
    if (reading.kind === 'overload') {
      return undecided
        ? say('written down', 'not decided', {
            beyond_tolerance: tolerance !== null,
            reason: UNDECIDED,
          })
        : say('fail', 'not within', { beyond_tolerance: tolerance !== null, note: 'overload' });
    }
    let value = reading.value;
    if (point.correction === 'subtract' && point.kind !== 'zero') {
      if (!zeroPoint || zeroPoint.id !== point.zero)
        throw new TypeError(`${point.id} needs the point ${point.zero}`);
      const leads = parse(zero, display(zeroPoint));
      if (leads.kind === 'empty') return say('incomplete', 'leads not read');
      if (leads.kind !== 'number')
        return say('refused', 'check the leads', {
          reason: leads.reason || 'the leads alone show overload',
        });
      // The leads may have been read on a range with another prefix.
      value = subtract(
        value,
        shift(leads.value, unitOf(zeroPoint.unit).power - unitOf(unit).power),
      );
    }
    const error = subtract(value, expected);
    const measured = {
      read: `${toText(value, point.decimals)} ${unit}`,
      error: `${toText(error, point.decimals)} ${unit}`,
      counts: toText(quotient(error, step)),
      percent: tolerance !== null && tolerance.n > 0n ? percentText(error, tolerance) : null,
      beyond_tolerance: tolerance !== null && compare(abs(error), tolerance) > 0,
    };
    if (undecided) return say('written down', 'not decided', { ...measured, reason: UNDECIDED });

    /* A listed point's limits are whole counts that the builder computed. A raw reading is a whole number of counts itself,
     * so this compares counts; a corrected one may have finer digits, and is compared with all of them. */
    const within = limits =>
      compare(value, multiply(whole(limits.low_counts), step)) >= 0 &&
      compare(value, multiply(whole(limits.high_counts), step)) <= 0;
    const finest = point.kind === 'reference' ? exact(point.reference.step) : null;
    const near = room => compare(abs(error), multiply(whole(floorDiv(room, finest)), finest)) <= 0; // cut off, never rounded up
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
    if (accepted()) return say('pass', 'within', measured);
    if (point.conditional && tolerated())
      return say('conditional pass', 'conditional pass', measured);
    if (point.conditional && conditional())
      return say('conditional fail', 'conditional fail', measured);
    return say('fail', 'not within', measured);
  }

  // One decimal, half away from zero: for showing only, nothing is decided by it.
  function percentText(error, tolerance) {
    const tenths = floorDiv(
      add(multiply(abs(error), whole(2000)), tolerance),
      multiply(tolerance, whole(2)),
    );
    return toText({ n: error.n < 0n ? -tenths : tenths, d: 1 }, 1);
  }

  window.Bench = window.Bench || {};
  window.Bench.rules = {
    parse,
    display,
    verdict,
    pretty,
    typedNumber,
    unitOf,
    shownUnit,
    SPACE,
    exact: {
      from: exact,
      add,
      subtract,
      multiply,
      compare,
      abs,
      negate,
      shift,
      whole,
      ZERO,
      floorDiv,
      ceilDiv,
      toText,
    },
  };
})();
