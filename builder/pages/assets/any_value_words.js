/* How the limits of a value came about, in the words of the builder's quick answer. */
(function () {
  'use strict';

  const { pretty, shownUnit, SPACE } = window.Bench.rules;
  const { lineOf } = window.Bench.rules.anyValue;
  const {
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
    if (hertz.n === 0n) return 'DC';
    const power =
      compare(hertz, whole(1000000)) >= 0 ? 6 : compare(hertz, whole(1000)) >= 0 ? 3 : 0;
    return `${toText(shift(hertz, -power))}${SPACE}${{ 6: 'M', 3: 'k', 0: '' }[power]}Hz`;
  }
  // "45 to 500 Hz", the unit once where it is the same; `without` are ends that are no part of it.
  function span([low, high], without = []) {
    const [number, unit] = pretty(low).split(SPACE),
      last = pretty(high);
    const from = last.split(SPACE)[1] === unit ? number : pretty(low),
      above = text => (without.includes(text) ? 'above ' : ''),
      below = text => (without.includes(text) ? 'below ' : '');
    return `${above(low)}${from} to ${below(high)}${last}`;
  }
  // Of frequencies: a single one, DC, or up to where no lowest is named.
  function frequencies([low, high], without = []) {
    const isNone = low === '0 Hz';
    if (low === high) return isNone ? 'DC' : pretty(low);
    if (isNone) return `${without.includes(high) ? 'below' : 'up to'} ${pretty(high)}`;
    return span([low, high], without);
  }
  // One decimal beyond the display's, rounded down; more where nothing would be left.
  function toleranceText(value, unit, decimals) {
    const number = shift(value, -unit.power);
    let places = decimals + 1,
      cut = floorDiv(number, { n: 1n, d: places });
    while (number.n !== 0n && cut === 0n) cut = floorDiv(number, { n: 1n, d: ++places });
    return toText({ n: cut, d: places }, decimals) + SPACE + shownUnit(unit.text);
  }

  // '±0.014 V', and where it differs up and down '+0.014 V −0.060 V'.
  function sidesText({ below, above }, unit, decimals) {
    const [up, down] = [above, below].map(one => toleranceText(one, unit, decimals));
    return compare(below, above) === 0 ? `±${up}` : `+${up} −${down}`;
  }

  // The terms of a tolerance as they are multiplied, then as amounts where there are several.
  function summed(terms, on, x, hertz) {
    const shown = value => amount(value, on.unit),
      size = amount(abs(x), on.unit, decimalsOf(on.step, on.unit));
    const said = terms.map(term =>
      term.said
        .replaceAll('{value}', size)
        .replaceAll('{frequency}', hertz === null ? '' : frequencyText(hertz)),
    );
    const values = terms.map(term => {
      const { slope, offset } = lineOf(term).at(hertz);
      return shown(add(multiply(slope, abs(x)), offset));
    });
    if (!said.length) return shown(whole(0)); // a side without a tolerance
    return said.join(' + ') + (values.length > 1 ? ' = ' + values.join(' + ') : '');
  }

  // How the limits came about, in the words of the builder's quick answer.
  function worked(found, x, hertz) {
    const { on, row, piece, sides } = found,
      unit = on.unit,
      places = decimalsOf(on.step, unit),
      { terms, terms_below: below } = piece.given;
    const shown = (value, decimals) => amount(value, unit, decimals);
    const count = n => shown(multiply({ n, d: 0 }, on.step), places);
    const sums = row.given.two_sided
      ? [
          ['Tolerance up', terms, sides.above],
          ['Tolerance down', below, sides.below],
        ]
      : [['Tolerance', terms, sides.above]];
    return [
      shown(x, places) +
        (hertz === null ? '' : ' at ' + frequencyText(hertz)) +
        ` on the ${pretty(on.given.range)} range, ${row.given.said}`,
      ...sums.map(
        ([name, its, total]) => `${name}: ${summed(its, on, x, hertz)} = ${shown(total)}`,
      ),
      `Tolerance limits: ${shown(subtract(x, sides.below))} and ${shown(add(x, sides.above))}`,
      `Accepted, in steps of ${shown(on.step)}: ${count(found.low)} to ${count(found.high)}` +
        (found.clamped ? ' (0 instead of a reading below it)' : ''),
    ];
  }

  Object.assign(window.Bench.rules.anyValue, {
    decimalsOf,
    plain,
    amount,
    frequencyText,
    frequencies,
    toleranceText,
    sidesText,
    worked,
  });
})();
