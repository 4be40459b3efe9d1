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
  // A line of data/meters/<id>.json at a frequency: T = slope·|x| + offset.
  const lineOf = given => {
    const slopes = [exact(given.slope), exact(given.slope_per_hertz)],
      offsets = [inBase(given.offset), inBase(given.offset_per_hertz)];
    return {
      grows: slopes[1].n !== 0n || offsets[1].n !== 0n,
      at: hertz => {
        const f = hertz || ZERO;
        return {
          slope: add(slopes[0], multiply(slopes[1], f)),
          offset: add(offsets[0], multiply(offsets[1], f)),
        };
      },
    };
  };
  const value = (line, hertz, size) => {
    const { slope, offset } = line.at(hertz);
    return add(multiply(slope, size), offset);
  };
  const most = list => list.reduce((a, b) => (compare(a, b) < 0 ? b : a));

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
        // ends that are no part of the row
        frequencyWithout: (row.frequency_without || []).map(inBase),
        valuesWithout: (row.values_without || []).map(inBase),
        pieces: row.pieces.map(piece => {
          const above = lineOf(piece.above);
          return {
            given: piece,
            values: band(piece.values),
            frequency: band(piece.frequency),
            above,
            below: piece.below ? lineOf(piece.below) : above,
          };
        }),
      })),
    }));
    const span = given.span && {
      given: given.span,
      low: inBase(given.span.low),
      high: inBase(given.span.high),
    };
    return { ...given, span, ranges };
  }

  // an end that is null is open
  const inside = ([low, high], value) =>
    (low === null || compare(low, value) <= 0) && (high === null || compare(value, high) <= 0);
  const isNone = (ends, value) => !ends.some(end => compare(end, value) === 0);
  const coversFrequency = (row, hertz) =>
    row.frequency === null ||
    (hertz !== null && inside(row.frequency, hertz) && isNone(row.frequencyWithout, hertz));
  const coversValue = (row, value) =>
    row.values === null || (inside(row.values, value) && isNone(row.valuesWithout, value));
  const pieceReaches = (piece, hertz) => hertz === null || inside(piece.frequency, hertz);
  // The piece of a row in which a value lies, with its tolerances down and up. Where two pieces
  // meet both hold, so the tighter one applies.
  function within(row, x, hertz) {
    const size = abs(x);
    return row.pieces
      .filter(
        piece =>
          inside(piece.values, row.given.by_sign ? x : size) && pieceReaches(piece, hertz),
      )
      .map(piece => ({
        piece,
        below: value(piece.below, hertz, size),
        above: value(piece.above, hertz, size),
      }))
      .reduce((best, one) => (compare(one.above, best.above) < 0 ? one : best));
  }
  const needsFrequency = (rows, hertz) =>
    hertz === null && rows.some(row => row.pieces.some(piece => piece.above.grows));
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
    const covering = reach.filter(row => coversValue(row, row.given.by_sign ? x : size));
    if (!covering.length) refuse(reach.length ? 'value-outside' : 'frequency-outside', { on });
    // a typical row gives no limit, and holds only where no other does
    const binding = covering.filter(row => !row.given.typical);
    if (!binding.length) refuse('typical', { on });
    if (needsFrequency(binding, hertz)) refuse('needs-frequency', { on });
    // Where two rows meet both hold, so the tighter one applies.
    const span = one => add(one.below, one.above),
      all = binding.map(row => ({ row, ...within(row, x, hertz) })),
      found = all.reduce((best, one) => (compare(span(one), span(best)) < 0 ? one : best));
    const crosses = one =>
      compare(one.below, found.below) < 0 || compare(one.above, found.above) < 0;
    if (all.some(crosses)) refuse('rows-cross', { on });
    const { row, piece } = found,
      sides = { below: found.below, above: found.above },
      even = compare(sides.below, sides.above) === 0;
    if (!even && x.n <= 0n && table.shows_minus && !row.given.by_sign)
      refuse('two-sided-minus', { on });
    const outward = x.n < 0n ? sides.below : sides.above,
      low = ceilDiv(subtract(x, sides.below), on.step),
      high = floorDiv(add(x, sides.above), on.step);
    if (compare(add(size, outward), on.highest) > 0)
      refuse('tolerance-past-range', { on, tolerance: outward });
    const clamped = !table.shows_minus && low < 0n,
      from = clamped ? 0n : low;
    if (from > high) refuse('nothing-displayable', { on, sides });
    if (x.n !== 0n && from <= 0n && 0n <= high) refuse('accepts-zero', { on, sides });
    if (table.autoranging && !byHand) refuseIfUnclear(table, on, x, sides, hertz);
    return { on, row, piece, sides, even, low: from, high, clamped };
  }

  // What a temperature's sensor isn't defined for, or what is colder than absolute zero.
  function refuseOutsideSpan({ span }, x) {
    if (!span || (compare(span.low, x) <= 0 && (!span.high || compare(x, span.high) <= 0))) return;
    refuse(span.given.sensor ? 'outside-sensor' : 'below-absolute-zero', { span: span.given });
  }

  // A good autoranging meter may sit on a neighbouring range: the limits would be others there.
  function refuseIfUnclear(table, on, x, sides, hertz) {
    const ranges = siblings(table, on),
      place = ranges.indexOf(on),
      size = abs(x),
      [inward, outward] = x.n < 0n ? ['above', 'below'] : ['below', 'above'],
      unclear = other => refuse('unclear-range', { on, other });
    // A neighbour's rows for other parts of it count too: nothing better is known about a reading
    // outside them.
    const loosest = (one, side) => {
      const reach = one.rows.filter(row => coversFrequency(row, hertz)),
        rows = reach.length ? reach : one.rows;
      if (needsFrequency(rows, hertz)) refuse('needs-frequency', { on: one });
      return most(rows.map(row => within(row, x, hertz)[side]));
    };
    for (const below of ranges.slice(0, place))
      if (compare(subtract(size, loosest(below, inward)), below.highest) <= 0) unclear(below);
    if (place > 0 && on.down && compare(subtract(size, sides[inward]), on.down) <= 0)
      unclear(ranges[place - 1]);
    const above = ranges[place + 1];
    if (
      above &&
      ((above.down && compare(add(size, loosest(above, outward)), above.down) >= 0) ||
        (on.up && compare(add(size, sides[outward]), on.up) >= 0))
    )
      unclear(above);
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
      (hertz === null || hertz.n === 0n
        ? compare(size, crest)
        : compare(multiply(whole(2), multiply(size, size)), multiply(crest, crest))) > 0
    )
      refuse('beyond-peak', { limit: peak });
    if (product && hertz !== null && compare(multiply(size, hertz), exact(product)) > 0)
      refuse('beyond-volt-hertz', { limit: product.replace('V Hz', 'V·Hz') });
  }

  Object.assign(window.Bench.rules, {
    anyValue: {
      Refused,
      refuse,
      lineOf,
      inBase,
      tableOf,
      siblings,
      pieceReaches,
      judge,
      refuseBeyondInput,
    },
  });
})();
