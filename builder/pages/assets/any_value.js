/* The limits of any value, from a meter's tables: what verdict.js has for the points of a sheet. A file of its own, since a
 * sheet does without it.
 */
(function () {
  'use strict';

  const { pretty, typedNumber, unitOf, typedUnit, shownUnit, filled, says, SPACE } =
    window.Bench.rules;
  const {
    from: exact,
    add,
    subtract,
    multiply,
    compare,
    abs,
    shift,
    whole,
    ZERO,
    floorDiv,
    ceilDiv,
    toText,
  } = window.Bench.rules.exact;

  /* A refusal is thrown inside this part and caught by `limits`. Codes and sentences are the builder's own; the facts are
   * texts for the sentence. */
  const REFUSALS = window.Bench.tables.refusals;

  class Refused extends Error {
    constructor(code, facts = {}) {
      super(code);
      this.code = code;
      this.facts = facts;
    }
  }
  const refuse = (code, facts) => {
    throw new Refused(code, facts);
  };
  const inBase = text =>
    text === null ? null : shift(exact(text), unitOf(text.slice(text.indexOf(' ') + 1)).power);
  const band = texts => texts && texts.map(inBase);
  const at = (line, size) => add(multiply(line.slope, size), line.offset);

  // A function of data/meters/<id>.json with exact numbers in the unit without a prefix.
  function tableOf(given) {
    const ranges = given.ranges.map(on => ({
      given: on,
      unit: unitOf(on.unit),
      step: inBase(on.resolution),
      highest: inBase(on.highest_reading),
      lowest: inBase(on.lowest),
      up: inBase(on.up_range),
      down: inBase(on.down_range),
      position: JSON.stringify([on.jacks, on.dial]),
      rows: on.rows.map(row => ({
        given: row,
        frequency: band(row.frequency),
        values: band(row.values),
        slope: exact(row.slope),
        offset: inBase(row.offset),
      })),
    }));
    return { ...given, ranges };
  }

  const inside = (edges, value) => compare(edges[0], value) <= 0 && compare(value, edges[1]) <= 0;
  const coversFrequency = (row, hertz) =>
    row.frequency === null || (hertz !== null && inside(row.frequency, hertz));
  const siblings = (table, one) => table.ranges.filter(on => on.position === one.position); // what the meter switches between by itself

  // The lowest range that holds the value, and that an autoranging meter doesn't leave upward at it.
  function rangeFor(table, size, wanted) {
    const among = wanted ? siblings(table, wanted) : table.ranges;
    for (const on of among) {
      const goesUp = table.autoranging && on.up && on !== siblings(table, on).pop();
      if (compare(size, on.highest) <= 0 && !(goesUp && compare(size, on.up) > 0)) return on;
    }
    return refuse('beyond-range', {
      on: among.reduce((top, on) => (compare(on.highest, top.highest) > 0 ? on : top)),
    });
  }

  // Range, row, tolerance and accepted counts of a value, or a refusal; `wanted` keeps it to one range.
  function judge(table, x, hertz, wanted) {
    const size = abs(x),
      byHand = wanted && !table.autoranging,
      on = byHand ? wanted : rangeFor(table, size, wanted);
    if (wanted && on !== wanted) refuse('other-range');
    if (x.n < 0n && !table.shows_minus) refuse('no-minus');
    if (x.n === 0n && !table.has_zero) refuse('no-zero');
    if (compare(size, on.highest) > 0) refuse('beyond-range', { on });
    if (x.n !== 0n && compare(size, on.step) < 0) refuse('below-one-count', { on });
    if (on.lowest && compare(size, on.lowest) < 0) refuse('below-lowest', { on });
    const reach = on.rows.filter(row => coversFrequency(row, hertz));
    const covering = reach.filter(
      row => row.values === null || inside(row.values, row.given.by_sign ? x : size),
    );
    if (!covering.length) refuse(reach.length ? 'value-outside' : 'frequency-outside', { on });
    // Where two rows meet both hold, so the tighter one applies.
    const row = covering.reduce((best, one) =>
      compare(at(one, size), at(best, size)) < 0 ? one : best,
    );
    const tolerance = at(row, size),
      low = ceilDiv(subtract(x, tolerance), on.step),
      high = floorDiv(add(x, tolerance), on.step);
    if (compare(add(size, tolerance), on.highest) > 0)
      refuse('tolerance-past-range', { on, tolerance });
    const clamped = !table.shows_minus && low < 0n,
      from = clamped ? 0n : low;
    if (from > high) refuse('nothing-displayable', { on, tolerance });
    if (x.n !== 0n && from <= 0n && 0n <= high) refuse('accepts-zero', { on, tolerance });
    if (table.autoranging) refuseIfUnclear(table, on, size, tolerance, hertz);
    return { on, row, tolerance, low: from, high, clamped };
  }

  // A good autoranging meter may sit on a neighbouring range: the limits would be others there.
  function refuseIfUnclear(table, on, size, tolerance, hertz) {
    const ranges = siblings(table, on),
      place = ranges.indexOf(on),
      unclear = other => refuse('unclear-range', { on, other });
    // A neighbour's rows for other parts of it count too: nothing better is known about a reading outside them.
    const loosest = one => {
      const rows = one.rows.filter(row => coversFrequency(row, hertz));
      return (rows.length ? rows : one.rows)
        .map(row => at(row, size))
        .reduce((a, b) => (compare(a, b) < 0 ? b : a));
    };
    for (const below of ranges.slice(0, place))
      if (compare(subtract(size, loosest(below)), below.highest) <= 0) unclear(below);
    if (place > 0 && on.down && compare(subtract(size, tolerance), on.down) <= 0)
      unclear(ranges[place - 1]);
    const above = ranges[place + 1];
    if (
      above &&
      ((above.down && compare(add(size, loosest(above)), above.down) >= 0) ||
        (on.up && compare(add(size, tolerance), on.up) >= 0))
    )
      unclear(above);
  }

  /* The nearest values below and above that get limits on this range. Every rule changes its answer where some line crosses
   * some reading, so they lie within a count of such a crossing, given here as [numerator, denominator]. */
  function clearValues(table, on, near, hertz) {
    const ranges = siblings(table, on),
      place = ranges.indexOf(on),
      one = whole(1),
      found = [[abs(near), one]];
    const reach = (edges, rows, rising) => {
      // where x + T, or x − T, reaches an edge
      for (const edge of edges)
        if (edge)
          for (const row of rows)
            if (rising) found.push([subtract(edge, row.offset), add(one, row.slope)]);
            else if (compare(row.slope, one) < 0)
              found.push([add(edge, row.offset), subtract(one, row.slope)]);
    };
    const readings = [
      on.step,
      on.highest,
      on.lowest,
      on.up,
      on.down,
      ...on.rows.flatMap(row => row.values || []),
    ];
    reach([on.highest, on.up], on.rows, true);
    reach([ZERO, on.down], on.rows, false);
    on.rows.forEach((a, i) =>
      on.rows.slice(i + 1).forEach(b => {
        if (compare(a.slope, b.slope))
          found.push([subtract(a.offset, b.offset), subtract(b.slope, a.slope)]);
      }),
    );
    for (const below of ranges.slice(0, place)) {
      readings.push(below.highest, below.up);
      reach([below.highest], below.rows, false);
    }
    if (ranges[place + 1]) reach([ranges[place + 1].down], ranges[place + 1].rows, true);
    found.push(...readings.filter(Boolean).map(value => [value, one]));
    const value = counts => ({
      n: near.n < 0n ? -counts * on.step.n : counts * on.step.n,
      d: on.step.d,
    });
    const clear = counts => {
      try {
        return judge(table, value(counts), hertz, on);
      } catch (refused) {
        if (refused instanceof Refused) return null;
        throw refused;
      }
    };
    const counts = [
      ...new Set(
        found
          .map(([n, d]) => floorDiv(n, multiply(d, on.step)))
          .filter(n => n >= 0n)
          .flatMap(n => [n - 1n, n, n + 1n, n + 2n]),
      ),
    ]
      .filter(n => n > 0n && compare(abs(value(n)), on.highest) <= 0)
      .sort((a, b) => (a < b ? -1 : 1));
    const side = n => compare(abs(value(n)), abs(near));
    return [
      counts
        .filter(n => side(n) < 0)
        .reverse()
        .find(clear),
      counts.filter(n => side(n) > 0).find(clear),
    ]
      .filter(n => n !== undefined)
      .map(value);
  }

  // Peak of a sine: √2·x, compared as 2·x² so that it stays exact. A level set apart from the value isn't known here.
  function refuseBeyondInput(table, x, hertz) {
    const { highest, peak, volt_hertz: product } = table.input,
      size = abs(x),
      limit = inBase(highest),
      crest = inBase(peak);
    if (table.needs_level) return;
    if (limit && compare(size, limit) > 0) refuse('beyond-input', { limit: highest });
    if (
      crest &&
      (hertz === null
        ? compare(size, crest)
        : compare(multiply(whole(2), multiply(size, size)), multiply(crest, crest))) > 0
    )
      refuse('beyond-peak', { limit: peak });
    if (product && hertz !== null && compare(multiply(size, hertz), exact(product)) > 0)
      refuse('beyond-volt-hertz', { limit: product.replace('V Hz', 'V·Hz') });
  }

  // ---------------------------------------------------------------- texts

  const decimalsOf = (value, unit) =>
    (toText(shift(value, -unit.power)).split('.')[1] || '').length;
  const plain = (value, unit, decimals) =>
    `${toText(shift(value, -unit.power), decimals)} ${unit.text}`;
  const amount = (value, unit, decimals) => pretty(plain(value, unit, decimals));
  function frequencyText(hertz) {
    const power =
      compare(hertz, whole(1000000)) >= 0 ? 6 : compare(hertz, whole(1000)) >= 0 ? 3 : 0;
    return `${toText(shift(hertz, -power))}${SPACE}${{ 6: 'M', 3: 'k', 0: '' }[power]}Hz`;
  }
  function span([low, high]) {
    // "45 to 500 Hz", the unit once where it is the same
    const [number, unit] = low.split(SPACE);
    return `${high.split(SPACE)[1] === unit ? number : low} to ${high}`;
  }
  // At most two decimals beyond the display's; cut off, marked as cut, and never rounded up.
  function toleranceText(value, unit, decimals) {
    const number = shift(value, -unit.power);
    let text;
    for (const more of [2, 1, 0]) {
      const step = { n: 1n, d: decimals + more },
        cut = { n: floorDiv(number, step), d: step.d };
      if (compare(cut, number) === 0) {
        text = toText(number, decimals);
        break;
      }
      text = toText(cut) + '…';
      if (text.length <= 8) break;
    }
    return text + SPACE + shownUnit(unit.text);
  }

  function rowText({ given }) {
    const a = given.accuracy,
      terms = [];
    if (a.percent_of_reading !== '0')
      terms.push(
        `${a.percent_of_reading}${SPACE}%${a.percent_of_range !== '0' ? ' of reading' : ''}`,
      );
    if (a.percent_of_range !== '0') terms.push(`${a.percent_of_range}${SPACE}% of range`);
    if (exact(a.fixed).n) terms.push(pretty(a.fixed));
    if (a.counts !== '0') terms.push(`${a.counts} count${a.counts === '1' ? '' : 's'}`);
    const holds = [given.frequency, given.values]
      .filter(Boolean)
      .map(edges => span(edges.map(pretty)))
      .join(', ');
    return `${holds}${holds && ': '}±(${terms.join(' + ')})`;
  }

  // How the limits came about, in the words of the builder's quick answer.
  function worked(found, x, hertz) {
    const { on, row, tolerance } = found,
      unit = on.unit,
      places = decimalsOf(on.step, unit),
      a = row.given.accuracy,
      terms = [];
    const shown = (value, decimals) => amount(value, unit, decimals),
      percent = (text, value) => shift(multiply(exact(text), value), -2);
    if (a.percent_of_reading !== '0')
      terms.push([
        `${a.percent_of_reading}${SPACE}% × ${shown(abs(x), places)}`,
        percent(a.percent_of_reading, abs(x)),
      ]);
    if (a.percent_of_range !== '0')
      terms.push([
        `${a.percent_of_range}${SPACE}% × ${pretty(on.given.base)}`,
        percent(a.percent_of_range, inBase(on.given.base)),
      ]);
    if (a.counts !== '0')
      terms.push([`${a.counts} × ${shown(on.step)}`, multiply(exact(a.counts), on.step)]);
    if (exact(a.fixed).n) terms.push([pretty(a.fixed), inBase(a.fixed)]);
    const count = n => shown(multiply({ n, d: 0 }, on.step), places);
    return [
      `${shown(x, places)}${hertz === null ? '' : ' at ' + frequencyText(hertz)} on the ${pretty(on.given.range)} range, ${rowText(row)}`,
      `Tolerance: ${terms.map(term => term[0]).join(' + ')}${terms.length > 1 ? ' = ' + terms.map(term => shown(term[1])).join(' + ') : ''} = ${shown(tolerance)}`,
      `Exact limits: ${shown(subtract(x, tolerance))} and ${shown(add(x, tolerance))}`,
      `Accepted, in steps of ${shown(on.step)}: ${count(found.low)} to ${count(found.high)}${found.clamped ? ' (0 instead of a reading below it)' : ''}`,
    ];
  }

  // ---------------------------------------------------------------- questions to meters

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
        sentence: `${table.function} is measured in ${shownUnit(own.base)}, not in ${shownUnit(typed.unit.text)}`,
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

  /* The limits of any value on a meter, from data/meters/<id>.json: what the builder's quick answer says. The limits are those
   * of the meter's own tolerance at its reference temperature, without a guard band, and so says `rule`.
   * → {meter, function, rule: 'tolerance only', refused: null, range, row, tolerance, low, high, exact_low, exact_high, clamped, lines};
   * `row` and `lines` are sentences, the others quantities, `low` and `high` with the display's digits. Or all of those from
   * `range` on are null, and refused: {code, sentence, hint}; its codes are the builder's, and those of `asked`. */
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
          `${meter.name}, ${given.function}, at ${pretty(meter.holds)}, simple acceptance${given.zero_with ? ' (of a reading without its leads)' : ''}`,
          ...worked(found, typed.value, typed.hertz),
        ],
      };
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      return { ...answer, refused: explained(refused, table, typed) };
    }
  }

  /* Which meters measure a value best: the answer of `limits` for each meter's best function of a kind ("DC voltage"), the
   * smallest tolerance first; those that give no limits last, with their reason. */
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
