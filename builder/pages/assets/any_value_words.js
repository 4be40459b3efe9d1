/* How the limits of a value came about, in the words of the builder's quick answer. */
(function () {
  'use strict';

  const { pretty, shownUnit, SPACE } = window.Bench.rules;
  const { inBase } = window.Bench.rules.anyValue;
  const {
    from: exact,
    add,
    subtract,
    multiply,
    compare,
    abs,
    shift,
    whole,
    floorDiv,
    toText,
  } = window.Bench.rules.exact;

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
  // One decimal beyond the display's, rounded down; more where nothing would be left.
  function toleranceText(value, unit, decimals) {
    const number = shift(value, -unit.power);
    let places = decimals + 1,
      cut = floorDiv(number, { n: 1n, d: places });
    while (number.n !== 0n && cut === 0n) cut = floorDiv(number, { n: 1n, d: ++places });
    return toText({ n: cut, d: places }, decimals) + SPACE + shownUnit(unit.text);
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
      shown(x, places) +
        (hertz === null ? '' : ' at ' + frequencyText(hertz)) +
        ` on the ${pretty(on.given.range)} range, ${rowText(row)}`,
      `Tolerance: ${terms.map(term => term[0]).join(' + ')}` +
        (terms.length > 1 ? ' = ' + terms.map(term => shown(term[1])).join(' + ') : '') +
        ` = ${shown(tolerance)}`,
      `Exact limits: ${shown(subtract(x, tolerance))} and ${shown(add(x, tolerance))}`,
      `Accepted, in steps of ${shown(on.step)}: ${count(found.low)} to ${count(found.high)}` +
        (found.clamped ? ' (0 instead of a reading below it)' : ''),
    ];
  }

  Object.assign(window.Bench.rules.anyValue, {
    decimalsOf,
    plain,
    amount,
    frequencyText,
    span,
    toleranceText,
    rowText,
    worked,
  });
})();
