/* The limits of any value, from a meter's tables: what verdict.js has for the points of a sheet,
 * and builder/compute/exact for all of them. A sheet does without it.
 */
(function () {
  'use strict';

  const { unitOf } = window.Bench.rules;
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
  } = window.Bench.rules.exact;

  // A refusal is thrown here and caught by `limits`; the codes are the builder's own, the facts
  // texts for its sentence.
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
    const span = given.span && {
      given: given.span,
      low: inBase(given.span.low),
      high: inBase(given.span.high),
    };
    return { ...given, span, ranges };
  }

  const inside = (edges, value) => compare(edges[0], value) <= 0 && compare(value, edges[1]) <= 0;
  const coversFrequency = (row, hertz) =>
    row.frequency === null || (hertz !== null && inside(row.frequency, hertz));
  // what the meter switches between by itself
  const siblings = (table, one) => table.ranges.filter(on => on.position === one.position);

  // The lowest range that holds the value, and that an autoranging meter doesn't leave upward at
  // it.
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

  // Range, row, tolerance and accepted counts of a value, or a refusal; `wanted` keeps it to one
  // range, `force` says that it is selected by hand.
  function judge(table, x, hertz, wanted, force) {
    refuseOutsideSpan(table, x);
    const size = abs(x),
      byHand = wanted && (force || !table.autoranging),
      on = byHand ? wanted : rangeFor(table, size, wanted);
    if (wanted && on !== wanted) refuse('other-range', { wanted, chosen: on });
    if (x.n < 0n && !table.shows_minus) refuse('no-minus');
    if (x.n === 0n && !table.has_zero) refuse('no-zero');
    if (compare(size, on.highest) > 0) refuse('beyond-range', { on });
    if (x.n !== 0n && compare(size, on.step) < 0) refuse('below-one-count', { on });
    // A temperature is meant with its sign.
    if (on.lowest && compare(table.span ? x : size, on.lowest) < 0) refuse('below-lowest', { on });
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
    if (table.autoranging && !byHand) refuseIfUnclear(table, on, size, tolerance, hertz);
    return { on, row, tolerance, low: from, high, clamped };
  }

  // What a temperature's sensor isn't defined for, or what is colder than absolute zero.
  function refuseOutsideSpan({ span }, x) {
    if (!span || (compare(span.low, x) <= 0 && (!span.high || compare(x, span.high) <= 0))) return;
    refuse(span.given.sensor ? 'outside-sensor' : 'below-absolute-zero', { span: span.given });
  }

  // A good autoranging meter may sit on a neighbouring range: the limits would be others there.
  function refuseIfUnclear(table, on, size, tolerance, hertz) {
    const ranges = siblings(table, on),
      place = ranges.indexOf(on),
      unclear = other => refuse('unclear-range', { on, other });
    // A neighbour's rows for other parts of it count too: nothing better is known about a reading
    // outside them.
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

  /* The nearest values below and above that get limits on this range. Every rule changes its answer
   * where some line crosses some reading, so they lie within a count of such a crossing, given here
   * as [numerator, denominator]. */
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
      ...(table.span ? [table.span.low, table.span.high] : []),
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
    found.push(...readings.filter(Boolean).map(value => [abs(value), one]));
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

  // Peak of a sine: √2·x, compared as 2·x² so that it stays exact. A level set apart from the value
  // isn't known here.
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

  Object.assign(window.Bench.rules, {
    anyValue: { Refused, refuse, inBase, tableOf, judge, clearValues, refuseBeyondInput },
  });
})();
