/* The nearest values that get limits, for the hint of a refusal: what clear_values.py has in
 * builder/compute/exact.
 */
(function () {
  'use strict';

  const { add, subtract, multiply, compare, abs, whole, ZERO, floorDiv } =
    window.Bench.rules.exact;
  const { Refused, judge, siblings, pieceReaches } = window.Bench.rules.anyValue;

  /* The nearest values below and above that get limits on this range. Every rule changes its answer
   * where some line crosses some reading, so they lie within a count of such a crossing, given here
   * as [numerator, denominator]. */
  function clearValues(table, on, near, hertz) {
    const ranges = siblings(table, on),
      place = ranges.indexOf(on),
      one = whole(1),
      found = [[abs(near), one]];
    // both sides of every piece at the frequency
    const lines = on =>
      on.rows
        .flatMap(row => row.pieces.filter(piece => pieceReaches(piece, hertz)))
        .flatMap(piece => [piece.above.at(hertz), piece.below.at(hertz)])
        .filter(line => line.slope.n >= 0n);
    const reach = (edges, lines, rising) => {
      // where x + T, or x − T, reaches an edge
      for (const edge of edges)
        if (edge)
          for (const line of lines)
            if (rising) found.push([subtract(edge, line.offset), add(one, line.slope)]);
            else if (compare(line.slope, one) < 0)
              found.push([add(edge, line.offset), subtract(one, line.slope)]);
    };
    const readings = [
      on.step,
      on.highest,
      on.lowest,
      on.up,
      on.down,
      ...(table.span ? [table.span.low, table.span.high] : []),
      ...on.rows.flatMap(row => [
        ...(row.values || []),
        ...row.pieces.flatMap(piece => piece.values),
      ]),
    ];
    const own = lines(on);
    reach([on.highest, on.up], own, true);
    reach([ZERO, on.down], own, false);
    own.forEach((a, i) =>
      own.slice(i + 1).forEach(b => {
        if (compare(a.slope, b.slope))
          found.push([subtract(a.offset, b.offset), subtract(b.slope, a.slope)]);
      }),
    );
    for (const below of ranges.slice(0, place)) {
      readings.push(below.highest, below.up);
      reach([below.highest], lines(below), false);
    }
    if (ranges[place + 1]) reach([ranges[place + 1].down], lines(ranges[place + 1]), true);
    found.push(...readings.filter(Boolean).map(value => [abs(value), one]));
    const sized = counts => ({
      n: near.n < 0n ? -counts * on.step.n : counts * on.step.n,
      d: on.step.d,
    });
    const clear = counts => {
      try {
        return judge(table, sized(counts), hertz, on);
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
      .filter(n => n > 0n && compare(abs(sized(n)), on.highest) <= 0)
      .sort((a, b) => (a < b ? -1 : 1));
    const side = n => compare(abs(sized(n)), abs(near));
    return [
      counts
        .filter(n => side(n) < 0)
        .reverse()
        .find(clear),
      counts.filter(n => side(n) > 0).find(clear),
    ]
      .filter(n => n !== undefined)
      .map(sized);
  }

  Object.assign(window.Bench.rules.anyValue, { clearValues });
})();
