/* Values of the bench on the page, typed and shown: exact. */
(function () {
  'use strict';
  const X = Bench.rules.exact;

  const PREFIXES = { p: -12, n: -9, µ: -6, u: -6, m: -3, '': 0, k: 3, M: 6, G: 9 };
  Bench.benchUnits = {
    voltage: 'V',
    current: 'A',
    resistance: 'Ω',
    capacitance: 'F',
    frequency: 'Hz',
  };
  Bench.benchEnds = ['together', 'apart']; // what the far ends of leads do that go to no terminal

  /** A typed value with or without a unit, exact and in the unit without a prefix; null where it is
   * none. `unit` is what stands alone: V. */
  Bench.benchValue = function (text, unit) {
    const bare = text
      .replace(/[−–]/g, '-')
      .replace(/[\s\u00a0]/g, '')
      .replace(',', '.');
    const found = /^([+-]?)(\d*)(?:\.(\d*))?([pnµumkMG]?)(V|A|Ω|ohms?|Ohm|F|Hz)?$/.exec(bare);
    if (!found || !/\d/.test(bare)) return null;
    const [, sign, before, after = '', prefix, own] = found;
    if (own && (/^o/i.test(own) ? 'Ω' : own) !== unit) return null;
    const size = { n: BigInt((before || '') + after || '0'), d: after.length };
    return X.shift(sign === '-' ? X.negate(size) : size, PREFIXES[prefix]);
  };

  /** Seconds for people: '30 s', '10 min'. */
  Bench.benchSeconds = text => (Number(text) < 300 ? `${text} s` : `${Number(text) / 60} min`);

  /** A value for people: '3.5 mV'. */
  Bench.benchText = function (value, unit) {
    const size = X.abs(value);
    const [prefix, power] = [
      ['M', 6],
      ['k', 3],
      ['', 0],
      ['m', -3],
      ['µ', -6],
      ['n', -9],
      ['p', -12],
    ].find(([, p]) => X.compare(size, X.shift(X.whole(1), p)) >= 0) || ['', 0];
    return X.toText(X.shift(value, -power)).replace('-', '−') + '\u00a0' + prefix + unit;
  };
})();
