/* Units, and what people type as a reading: what builder/records/typed.py does, once more, for the
 * phone. tests/pages/test_verdict_js.py holds every answer against the builder's own.
 */
(function () {
  'use strict';

  const {
    from: exact,
    add,
    multiply,
    compare,
    abs,
    whole,
    floorDiv,
    toText,
  } = window.Bench.rules.exact;

  const SPACE = '\u00a0';
  const tables = window.Bench.tables; // generated: see builder/pages/script_tables.py
  const POWERS = tables.prefixes;
  const SYMBOLS = new Map(tables.units.map(unit => [unit.symbol, unit]));
  // By what is typed in small letters; by the symbol where the data have it.
  const TYPED = new Map(tables.units.flatMap(unit => unit.typed.map(spelling => [spelling, unit])));
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

  // The same for what somebody typed, or null. Capitals matter only where they tell milli from
  // mega.
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

  // A quantity of the data files as a reader expects it: "-3 uV" → "−3 µV", with a space that
  // doesn't break.
  const pretty = text =>
    text.replace(/-(?=\d)/g, '−').replace(/ (\S+)$/, (_, unit) => SPACE + shownUnit(unit));

  // A sentence of the tables with its facts.
  const filled = (sentence, facts = {}) => sentence.replace(/\{(\w+)\}/g, (_, name) => facts[name]);
  const says = (code, facts) => filled(tables.readings[code], facts);

  const NUMBER =
    /^([+\-−–]?)\s*(\d{1,3}(?:[ \u00a0\u2009\u202f]\d{3})+|\d*)(?:([.,])(\d*))?\s*(.*)$/;
  const OVERLOAD = /^[+\-−–]?\s*\.?(?:[o0]\.?l\.?|over ?load|over|ovl|ofl)\s*(.*)$/i;

  // {value, decimals, rest} or {reason}. `sure`: it is known how many decimals to expect, so
  // "1,500" has one meaning.
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

  /* A typed reading. `unit` is the sheet's; `resolution` and `highest` are quantities in it or
   * missing; without `decimals` any number of digits will do; `minus: false` for a display without
   * a sign.
   * → {kind: 'number' | 'overload' | 'refused' | 'empty', value: exact or null, text: "1.000 V" or
   * "OL", reason, note} Fewer digits than the display shows are completed by zeros, which changes
   * no value, and the note says so. More are refused, zeros too: the meter is on another range
   * then, and the limits don't hold there. */
  function parse(typed, { unit, decimals, minus = true, resolution, highest } = {}) {
    const result = (kind, more) => ({ kind, value: null, text: '', reason: '', note: '', ...more });
    const refused = reason => result('refused', { reason });
    const text = String(typed ?? '').trim(),
      own = unitOf(unit);
    const wrongUnit = rest => {
      if (!rest || (/^deg/.test(unit) && (rest === '°' || rest === unit[3]))) return '';
      const other = typedUnit(rest);
      if (other === null) return says('unknown-unit', { text: rest.slice(0, 20), unit: own.shown });
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

  /* A reading as `parse` has it, or both extremes where the last digit flickered: 17.994/17.996.
   * → [one], [one, other], or [{kind: 'empty' | 'refused', reason}] */
  function flickering(typed, known) {
    const text = String(typed ?? '').trim();
    const found = text.split('/').map(one => parse(one, known));
    const refused = found.find(one => one.kind === 'refused');
    if (refused) return [refused];
    if (found.length > 2 || (found.length > 1 && found.some(one => one.kind === 'empty')))
      return [
        {
          ...found[0],
          kind: 'refused',
          value: null,
          text: '',
          reason: says('flicker', { text: text.slice(0, 30) }),
        },
      ];
    return found;
  }
  /** As it was typed, with the unit once: "17.994/17.996 V". */
  const textOf = found =>
    found.map(({ text }, n) => (n < found.length - 1 ? text.split(' ')[0] : text)).join('/');
  const middle = found =>
    multiply(
      found.map(one => one.value).reduce(add),
      found.length > 1 ? { n: 5n, d: 1 } : whole(1),
    );

  /* What `parse` must know of a point's display. An observation has no limits, and often shows
   * something else than its range does: any digits will do there. */
  function display(point) {
    if (point.find === 'bandwidth') return { unit: 'Hz' };
    if (point.find === 'sensitivity') return { unit: point.level.split(' ')[1] };
    return point.kind === 'observation'
      ? { unit: point.unit }
      : { unit: point.unit, decimals: point.decimals, resolution: point.resolution };
  }

  Object.assign(window.Bench.rules, {
    isOverload: typed => OVERLOAD.test(typed.trim()),
    parse,
    flickering,
    textOf,
    middle,
    display,
    pretty,
    typedNumber,
    unitOf,
    typedUnit,
    shownUnit,
    filled,
    says,
    SPACE,
  });
})();
