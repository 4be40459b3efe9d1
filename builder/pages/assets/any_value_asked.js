/* Questions to meters: the limits of a typed value, or why there are none, and which meter measures
 * it best.
 */
(function () {
  'use strict';

  const { pretty, typedNumber, typedUnit, shownUnit, filled, says } = window.Bench.rules;
  const { Refused, refuse, inBase, tableOf, judge, clearValues, refuseBeyondInput } =
    window.Bench.rules.anyValue;
  const { decimalsOf, plain, amount, frequencyText, span, toleranceText, rowText, worked } =
    window.Bench.rules.anyValue;
  const { add, subtract, multiply, compare, shift } = window.Bench.rules.exact;
  const REFUSALS = window.Bench.tables.refusals;

  // A typed value with its unit, or a refusal; `such` is an example.
  function typedQuantity(text, such) {
    const read = typedNumber(String(text ?? '').trim(), false);
    if (read.reason) refuse('not-a-value', { sentence: `${read.reason}; write such as ${such}` });
    const unit = typedUnit(read.rest);
    if (!unit)
      refuse('not-a-value', {
        sentence: read.rest
          ? says('unit-unknown', { text: read.rest.slice(0, 20) })
          : says('unit-missing', { such }),
      });
    return { value: shift(read.value, unit.power), unit };
  }

  function asked(table, valueText, frequency) {
    if (!table.ranges.length)
      refuse('no-table', { sentence: `“${table.function}” has no accuracy table` });
    const own = table.ranges[0].unit,
      typed = typedQuantity(valueText, pretty(table.ranges[0].given.range));
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
    const hertz = typedQuantity(frequency, pretty('50 Hz'));
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
    };
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
      });
      const clear = REFUSALS[code][1]
        ? clearValues(table, on, typed.value, typed.hertz).map(value => amount(value, unit, places))
        : [];
      if (clear.length) hint = `clear on the ${text.range} range: ${clear.join(' or ')}`;
      if (code === 'frequency-outside')
        hint =
          'a row covers ' + on.rows.map(row => span(row.given.frequency.map(pretty))).join(', ');
    }
    return { code, sentence: filled(REFUSALS[code][0], text), hint };
  }

  /* The limits of any value on a meter, from data/meters/<id>.json: what the builder's quick answer
   * says. The limits are those of the meter's own tolerance at its reference temperature, without a
   * guard band, and so says `rule`.
   * → {meter, function, rule: 'tolerance only', refused: null, range, row, tolerance, low, high,
   * exact_low, exact_high, clamped, lines}; `row` and `lines` are sentences, the others quantities,
   * `low` and `high` with the display's digits. Or all of those from `range` on are null, and
   * refused: {code, sentence, hint}; its codes are the builder's, and those of `asked`. */
  function limits(meter, title, valueText, frequency) {
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
      low: null,
      high: null,
      exact_low: null,
      exact_high: null,
      clamped: null,
      lines: null,
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
      typed = asked(table, valueText, frequency);
      refuseBeyondInput(table, typed.value, typed.hertz);
      const found = judge(table, typed.value, typed.hertz),
        { on, tolerance } = found,
        unit = on.unit,
        places = decimalsOf(on.step, unit);
      const counts = n => plain(multiply({ n, d: 0 }, on.step), unit, places);
      return {
        ...answer,
        range: on.given.range,
        row: rowText(found.row),
        tolerance: plain(tolerance, unit),
        low: counts(found.low),
        high: counts(found.high),
        exact_low: plain(subtract(typed.value, tolerance), unit),
        exact_high: plain(add(typed.value, tolerance), unit),
        clamped: found.clamped,
        lines: [
          `${meter.name}, ${given.function}, at ${pretty(meter.holds)}, simple acceptance` +
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
    const by = (a, b) =>
      !a.refused && !b.refused
        ? compare(inBase(a.tolerance), inBase(b.tolerance))
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
