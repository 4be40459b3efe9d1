/* Questions to meters: the limits of a typed value, or why there are none, and which meter measures
 * it best.
 */
(function () {
  'use strict';

  const { pretty, typedNumber, typedUnit, unitOf, shownUnit, filled, says } = window.Bench.rules;
  const { parse, percentText } = window.Bench.rules;
  const { Refused, refuse, inBase, tableOf, judge, clearValues, refuseBeyondInput } =
    window.Bench.rules.anyValue;
  const { decimalsOf, plain, amount, frequencyText, frequencies } = window.Bench.rules.anyValue;
  const { toleranceText, sidesText, worked } = window.Bench.rules.anyValue;
  const { add, subtract, multiply, compare, shift, abs, quotient, toText, whole, ZERO } =
    window.Bench.rules.exact;
  const REFUSALS = window.Bench.tables.refusals;
  const READ = window.Bench.tables.any_value;

  // The unit that a bare number can only be in: that of all ranges; null where they differ.
  const clearUnit = table =>
    table.ranges.every(on => on.unit.text === table.ranges[0].unit.text)
      ? table.ranges[0].unit
      : null;

  // A typed value with its unit, or a refusal; `such` is an example, `clear` the unit of a bare
  // number.
  function typedQuantity(text, such, clear) {
    const read = typedNumber(String(text ?? '').trim(), false);
    if (read.reason) refuse('not-a-value', { sentence: `${read.reason}; write such as ${such}` });
    const unit = read.rest ? typedUnit(read.rest) : clear;
    if (!unit)
      refuse('not-a-value', {
        sentence: read.rest
          ? says('unit-unknown', { text: read.rest.slice(0, 20) })
          : says('unit-missing', { such }),
      });
    return { value: shift(read.value, unit.power), unit };
  }

  function asked(table, valueText, frequency, range) {
    if (!table.ranges.length)
      refuse('no-table', { sentence: `“${table.function}” has no accuracy table` });
    const wanted = range && table.ranges.find(on => on.given.range === range);
    if (range && !wanted)
      refuse('no-range', { sentence: `${table.function} has no range “${range}”` });
    const own = table.ranges[0].unit,
      typed = typedQuantity(
        valueText,
        pretty(table.ranges[0].given.range),
        wanted ? wanted.unit : clearUnit(table),
      );
    typed.wanted = wanted;
    if (typed.unit.base !== own.base) {
      const degrees = /^deg/.test(typed.unit.base) && /^deg/.test(own.base);
      refuse(degrees ? 'other-degrees' : 'wrong-unit', {
        sentence:
          `${table.function} is measured in ${shownUnit(own.base)}, ` +
          `not in ${shownUnit(typed.unit.text)}`,
      });
    }
    const without = String(frequency ?? '').trim() === '';
    if (table.is_ac && without)
      refuse('needs-frequency', { sentence: `${table.function} needs a frequency` });
    if (without) return { ...typed, hertz: null };
    if (!table.needs_frequency)
      refuse('no-frequency', { sentence: `${table.function} has no frequency beside its value` });
    const isDc = row => row.frequency !== null && row.frequency[1].n === 0n;
    if (/^\s*dc\s*$/i.test(frequency) && table.ranges.some(on => on.rows.some(isDc)))
      return { ...typed, hertz: ZERO };
    const hertz = typedQuantity(frequency, pretty('50 Hz'), unitOf('Hz'));
    if (hertz.unit.base !== 'Hz' || hertz.value.n <= 0n)
      refuse('not-a-frequency', { sentence: `“${frequency}” is no frequency` });
    return { ...typed, hertz: hertz.value };
  }

  // Code, sentence and hint ('' where there is none) of a refusal.
  function explained({ code, facts }, table, typed) {
    if (facts.sentence) return { code, sentence: facts.sentence, hint: '' };
    const on = facts.on,
      unit = on ? on.unit : typed.unit,
      places = on ? decimalsOf(on.step, unit) : 0;
    const text = {
      applied: amount(typed.value, unit, places),
      frequency: typed.hertz === null ? 'DC' : frequencyText(typed.hertz),
      limit: facts.limit && pretty(facts.limit),
      sensor: facts.span && facts.span.sensor,
      low: facts.span && pretty(facts.span.low),
      high: facts.span && facts.span.high && pretty(facts.span.high),
    };
    for (const name of ['wanted', 'chosen'])
      if (facts[name]) text[name] = pretty(facts[name].given.range);
    text.at = text.applied + (typed.hertz === null ? '' : ` at ${text.frequency}`);
    let hint = '';
    if (on) {
      Object.assign(text, {
        range: pretty(on.given.range),
        highest: amount(on.highest, unit, places),
        resolution: pretty(on.given.resolution),
        lowest: on.lowest && pretty(on.given.lowest),
        other: facts.other && pretty(facts.other.given.range),
        tolerance: facts.tolerance && toleranceText(facts.tolerance, unit, places),
        sides: facts.sides && sidesText(facts.sides, unit, places),
      });
      const clear = REFUSALS[code][1]
        ? clearValues(table, on, typed.value, typed.hertz).map(value => amount(value, unit, places))
        : [];
      if (clear.length) hint = `clear on the ${text.range} range: ${clear.join(' or ')}`;
      if (code === 'frequency-outside')
        hint =
          'a row covers ' +
          on.rows
            .map(row => frequencies(row.given.frequency, row.given.frequency_without))
            .join(', ');
    }
    return { code, sentence: filled(REFUSALS[code][0], text), hint };
  }

  const signed = text => (/^−|^[^1-9]*$/.test(text) ? text : '+' + text);

  /* What became of a reading beside the limits: {within: true or false, sentence}; `within` is null
   * for what the display can't show there. */
  function reads(typed, x, { on, sides, low, high }, table) {
    const unit = on.unit,
      decimals = decimalsOf(on.step, unit);
    const read = parse(typed, {
      unit: on.given.unit,
      decimals,
      resolution: on.given.resolution,
      highest: on.given.highest_reading,
      minus: table.shows_minus,
    });
    if (read.kind === 'empty') return null;
    if (read.kind === 'refused') return { within: null, sentence: read.reason };
    if (read.kind === 'overload') return { within: false, sentence: READ.overload };
    const value = shift(read.value, unit.power),
      error = subtract(value, x),
      off = quotient(error, on.step),
      tolerance = error.n < 0n ? sides.below : sides.above;
    const within =
      compare(value, multiply({ n: low, d: 0 }, on.step)) >= 0 &&
      compare(value, multiply({ n: high, d: 0 }, on.step)) <= 0;
    const number = toText(off).replace('-', '−'),
      percent = () => signed(percentText(error, tolerance).replace('-', '−')) + '\u00a0%';
    return {
      within,
      sentence: filled(READ[within ? 'within' : 'not-within'], {
        reading: amount(value, unit, decimals),
        error: signed(amount(error, unit, decimals)),
        counts: `${signed(number)} count${compare(abs(off), whole(1)) ? 's' : ''}`,
        share: tolerance.n > 0n ? filled(READ.share, { percent: percent() }) : '',
      }),
    };
  }

  /* The limits of any value on a meter, from data/meters/<id>.json: what the builder's quick answer
   * says. The limits are those of the meter's own tolerance at its reference temperature, without a
   * guard band, and so says `rule`. `range` is one that is selected by hand, as the data name it;
   * `reading` what the meter reads.
   * → {meter, function, rule: 'tolerance only', refused: null, range, row, tolerance (null where
   * that of the lower limit and of the upper one differ), tolerance_below, tolerance_above, low,
   * high,
   * exact_low, exact_high, clamped, lines}; `row` and `lines` are sentences, the others quantities,
   * `low` and `high` with the display's digits. Or all of those from `range` on are null, and
   * refused: {code, sentence, hint}; its codes are the builder's, and those of `asked`. `reads` is
   * what `reads` gives, null without a reading. */
  function limits(meter, title, valueText, frequency, { range, reading } = {}) {
    const wanted = String(title).trim().toLowerCase(),
      given = meter.functions.find(one => one.function.toLowerCase() === wanted);
    const answer = {
      meter: meter.name,
      function: given ? given.function : title,
      rule: 'tolerance only',
      refused: null,
      range: null,
      row: null,
      tolerance: null,
      tolerance_below: null,
      tolerance_above: null,
      low: null,
      high: null,
      exact_low: null,
      exact_high: null,
      clamped: null,
      lines: null,
      reads: null,
    };
    if (!given)
      return {
        ...answer,
        refused: {
          code: 'no-function',
          sentence: `${meter.name} has no function “${title}”`,
          hint: '',
        },
      };
    const table = tableOf(given);
    let typed;
    try {
      typed = asked(table, valueText, frequency, range);
      refuseBeyondInput(table, typed.value, typed.hertz);
      const found = judge(table, typed.value, typed.hertz, typed.wanted, table.by_hand),
        { on, sides } = found,
        unit = on.unit,
        places = decimalsOf(on.step, unit);
      const counts = n => plain(multiply({ n, d: 0 }, on.step), unit, places);
      return {
        ...answer,
        range: on.given.range,
        row: found.row.given.said,
        tolerance: found.even ? plain(sides.above, unit) : null,
        tolerance_below: plain(sides.below, unit),
        tolerance_above: plain(sides.above, unit),
        low: counts(found.low),
        high: counts(found.high),
        exact_low: plain(subtract(typed.value, sides.below), unit),
        exact_high: plain(add(typed.value, sides.above), unit),
        clamped: found.clamped,
        reads: reads(reading, typed.value, found, table),
        lines: [
          `${meter.name}, ${given.function}, at ${pretty(given.holds || meter.holds)}, ` +
          'simple acceptance' +
            (given.since ? `, limits of ${given.since} since adjustment` : '') +
            (given.zero_with ? ' (of a reading without its leads)' : ''),
          ...worked(found, typed.value, typed.hertz),
        ],
      };
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      return { ...answer, refused: explained(refused, table, typed) };
    }
  }

  /* Which meters measure a value best: the answer of `limits` for each meter's best function of a
   * kind ("DC voltage"), the smallest tolerance first; those that give no limits last, with their
   * reason. */
  function best(meters, kind, valueText, frequency) {
    const span = one => add(inBase(one.tolerance_below), inBase(one.tolerance_above));
    const by = (a, b) =>
      !a.refused && !b.refused
        ? compare(span(a), span(b))
        : Boolean(a.refused) - Boolean(b.refused);
    return meters
      .map(meter => {
        const answers = meter.functions
          .filter(one => one.kind === kind)
          .map(one => limits(meter, one.function, valueText, frequency))
          .sort(by);
        return {
          id: meter.meter,
          ...(answers[0] || {
            ...limits(meter, kind, valueText, frequency),
            refused: { code: 'no-function', sentence: `${meter.name} has no ${kind}`, hint: '' },
          }),
        };
      })
      .sort(by);
  }

  Object.assign(window.Bench.rules, { limits, best });
})();
