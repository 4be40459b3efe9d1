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
  const tables = window.Bench.tables; // generated: see builder/pages/script_tables.py
  const POWERS = tables.prefixes;
  const SYMBOLS = new Map(tables.units.map(unit => [unit.symbol, unit]));
  // By what is typed in small letters; by the symbol where the data have it.
  const TYPED = new Map(
    tables.units
      .filter(unit => unit.typed)
      .flatMap(unit => unit.spellings.map(spelling => [spelling, unit])),
  );
  const withPrefix = (unit, prefix) => ({
    base: unit.symbol,
    power: POWERS[prefix],
    text: prefix + unit.symbol,
    shown: (prefix === 'u' ? 'µ' : prefix) + unit.shown,
  });

  // A unit of the data files: {base, power, text, shown}.
  function unitOf(text) {
    const alone = SYMBOLS.get(text);
    if (alone) return withPrefix(alone, '');
    return withPrefix(SYMBOLS.get(text.slice(1)), text[0]);
  }

  // The same for what somebody typed, or null. Capitals matter only where they tell milli from mega.
  function typedUnit(typed) {
    let text = [...typed].map(sign => tables.same_sign[sign] || sign).join('');
    const word = Object.keys(tables.prefix_words).find(
      name => text.toLowerCase().startsWith(name) && /[a-z]/i.test(text[name.length] || ''),
    );
    if (word) text = tables.prefix_words[word] + text.slice(word.length);
    text = text.replace(/^(deg|°) /i, '$1');
    const alone = TYPED.get(text.toLowerCase());
    if (alone) return withPrefix(alone, '');
    const unit = TYPED.get(text.slice(1).toLowerCase());
    const letter = /[mM]/.test(text[0] || '')
      ? text[0]
      : (text[0] || '').toLowerCase().replace('g', 'G');
    return unit && unit.prefixes && letter in POWERS ? withPrefix(unit, letter) : null;
  }

  // What is no unit of the table, such as that of a shop's own check, stays as it is.
  const shownUnit = text =>
    SYMBOLS.has(text) || (text[0] in POWERS && SYMBOLS.has(text.slice(1)))
      ? unitOf(text).shown
      : text;

  // A quantity of the data files as a reader expects it: "-3 uV" → "−3 µV", with a space that doesn't break.
  const pretty = text =>
    text.replace(/-(?=\d)/g, '−').replace(/ (\S+)$/, (_, unit) => SPACE + shownUnit(unit));

  // ---------------------------------------------------------------- what people type

  // A sentence of the tables with its facts.
  const filled = (sentence, facts = {}) => sentence.replace(/\{(\w+)\}/g, (_, name) => facts[name]);
  const says = (code, facts) => filled(tables.readings[code], facts);

  const NUMBER =
    /^([+\-−–]?)\s*(\d{1,3}(?:[ \u00a0\u2009\u202f]\d{3})+|\d*)(?:([.,])(\d*))?\s*(.*)$/;
  const OVERLOAD = /^[+\-−–]?\s*\.?(?:[o0]\.?l\.?|over ?load|over|ovl|ofl)\s*(.*)$/i;

  // {value, decimals, rest} or {reason}. `sure`: it is known how many decimals to expect, so "1,500" has one meaning.
  function typedNumber(text, sure) {
    const [, sign, before, mark, after = '', rest] = NUMBER.exec(text);
    if (!before && !after) return { reason: says('no-number', { text: text.slice(0, 30) }) };
    if (
      /^[\d.,'’]/.test(rest) ||
      (!sure && mark === ',' && /^[1-9]\d{0,2}$/.test(before) && after.length === 3)
    )
      return { reason: says('two-ways', { text: text.slice(0, 30) }) };
    const digits = before.replace(/\D/g, '') + after;
    if (digits.length > 18) return { reason: says('too-many-digits') };
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
      own = unitOf(unit);
    const wrongUnit = rest => {
      if (!rest || (/^deg/.test(unit) && (rest === '°' || rest === unit[3]))) return '';
      const other = typedUnit(rest);
      if (other === null)
        return says('unknown-unit', { text: rest.slice(0, 20), unit: own.shown });
      if (other.text === own.text) return '';
      const code = other.base === own.base ? 'other-prefix' : 'other-unit';
      return says(code, { unit: own.shown, typed: other.shown });
    };
    if (!text) return result('empty');
    const over = OVERLOAD.exec(text);
    if (over)
      return wrongUnit(over[1]) ? refused(wrongUnit(over[1])) : result('overload', { text: 'OL' });
    const read = typedNumber(text, decimals !== undefined);
    if (read.reason) return refused(read.reason);
    if (wrongUnit(read.rest)) return refused(wrongUnit(read.rest));
    const value = read.value;
    if (!minus && value.n < 0n) return refused(says('no-minus'));
    if (decimals !== undefined && read.decimals > decimals)
      return refused(
        says('too-many-decimals', {
          decimals: ['no decimals', 'one decimal'][decimals] || `${decimals} decimals`,
        }),
      );
    const step = resolution && exact(resolution);
    if (step && compare(multiply(whole(floorDiv(value, step)), step), value) !== 0)
      return refused(says('between-counts', { step: pretty(resolution) }));
    if (highest && compare(abs(value), exact(highest)) > 0)
      return refused(says('beyond-range', { highest: pretty(highest) }));
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

  const [LOWEST, HIGHEST, AT_ZERO] = tables.near_reference.map(exact);

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
    const say = (outcome, word, more) => ({
      outcome,
      words: tables.short[word],
      read: reading.text || null,
      error: null,
      counts: null,
      percent: null,
      beyond_tolerance: false,
      reason: '',
      note: reading.note,
      ...more,
    });
    if (reading.kind === 'empty') return say('incomplete', 'no-reading');
    if (reading.kind === 'refused')
      return say('refused', 'check-entry', { reason: reading.reason });
    if (point.kind === 'observation') return say('written down', 'written-down');

    // What stands at the input: a certified value, a source's under load, or what is applied.
    let expected = exact(point.expected || point.apply);
    if (point.kind === 'reference') {
      const at = point.reference.resolution,
        decimals = (at.split(' ')[0].split('.')[1] || '').length;
      const other = parse(reference, { unit, decimals, resolution: at });
      if (other.kind === 'empty') return say('incomplete', 'no-reference');
      if (other.kind !== 'number')
        return say('refused', 'check-reference', {
          reason: other.reason || says('no-reference'),
        });
      // The row of the accuracy table was chosen for about this value; the sheet's own table ends there too.
      const same = expected.n < 0n ? negate(other.value) : other.value,
        size = abs(expected);
      const near =
        size.n === 0n
          ? compare(abs(same), multiply(exact(point.range), AT_ZERO)) <= 0
          : compare(same, multiply(size, LOWEST)) >= 0 && compare(same, multiply(size, HIGHEST)) < 0;
      if (!near)
        return say('refused', 'check-reference', {
          reason: says('reference-far', { about: pretty(point.apply) }),
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
    const UNDECIDED = says('undecided');
    if (reading.kind === 'overload') {
      return undecided
        ? say('written down', 'not-decided', {
            beyond_tolerance: tolerance !== null,
            reason: UNDECIDED,
          })
        : say('fail', 'not-within', {
            beyond_tolerance: tolerance !== null,
            note: tables.short.overload,
          });
    }
    let value = reading.value;
    if (point.correction === 'subtract' && point.kind !== 'zero') {
      if (!zeroPoint || zeroPoint.id !== point.zero)
        throw new TypeError(`${point.id} needs the point ${point.zero}`);
      const leads = parse(zero, display(zeroPoint));
      if (leads.kind === 'empty') return say('incomplete', 'no-leads');
      if (leads.kind !== 'number')
        return say('refused', 'check-leads', {
          reason: leads.reason || says('leads-overload'),
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
    if (undecided) return say('written down', 'not-decided', { ...measured, reason: UNDECIDED });

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
      return say('conditional pass', 'conditional-pass', measured);
    if (point.conditional && conditional())
      return say('conditional fail', 'conditional-fail', measured);
    return say('fail', 'not-within', measured);
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
    typedUnit,
    shownUnit,
    filled,
    says,
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
