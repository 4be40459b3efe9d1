/* Exact numbers for the pages: {n, d} stands for n / 10^d, n a BigInt. A Number would round 0.1
 * before the first comparison. Classic scripts without requests or modules, so that they work from
 * a folder.
 */
(function () {
  'use strict';

  const ten = power => 10n ** BigInt(power);
  const shift = (a, power) =>
    a.d < power ? { n: a.n * ten(power - a.d), d: 0 } : { n: a.n, d: a.d - power }; // a · 10^power
  const aligned = (a, b) => {
    const d = Math.max(a.d, b.d);
    return [a.n * ten(d - a.d), b.n * ten(d - b.d), d];
  };
  const add = (a, b) => {
    const [m, n, d] = aligned(a, b);
    return { n: m + n, d };
  };
  const negate = a => ({ n: -a.n, d: a.d });
  const subtract = (a, b) => add(a, negate(b));
  const multiply = (a, b) => ({ n: a.n * b.n, d: a.d + b.d });
  const compare = (a, b) => {
    const [m, n] = aligned(a, b);
    return m < n ? -1 : m > n ? 1 : 0;
  };
  const abs = a => (a.n < 0n ? negate(a) : a);
  const ZERO = { n: 0n, d: 0 };
  const whole = n => ({ n: BigInt(n), d: 0 });

  // floor(a / b) as a BigInt. BigInt division cuts toward zero, which would move a negative limit
  // outward.
  function floorDiv(a, b) {
    const [m, n] = aligned(a, b),
      cut = m / n;
    return m % n !== 0n && m < 0n !== n < 0n ? cut - 1n : cut;
  }
  const ceilDiv = (a, b) => -floorDiv(negate(a), b);

  // a / b where that ends: b is a display's step, whose digits are 1, 2 or 5 and zeros.
  function quotient(a, b) {
    const d = a.d + String(b.n).length;
    return { n: floorDiv(shift(a, d), b), d };
  }

  // "-1.50" → -150 / 10^2; a unit behind it is left out.
  function exact(text) {
    const [, sign, before, after = ''] = /^(-?)(\d+)(?:\.(\d+))?(?: |$)/.exec(text);
    return { n: BigInt(sign + before + after), d: after.length };
  }

  // All its decimals, and at least so many.
  function toText(a, atLeast = 0) {
    let { n, d } = abs(a);
    while (d > atLeast && n % 10n === 0n) {
      n /= 10n;
      d -= 1;
    }
    if (d < atLeast) {
      n *= ten(atLeast - d);
      d = atLeast;
    }
    const digits = String(n).padStart(d + 1, '0');
    return (a.n < 0n ? '-' : '') + (d ? digits.slice(0, -d) + '.' + digits.slice(-d) : digits);
  }

  window.Bench = window.Bench || {};
  window.Bench.rules = {
    exact: {
      from: exact,
      add,
      subtract,
      multiply,
      compare,
      abs,
      negate,
      shift,
      whole,
      ZERO,
      floorDiv,
      ceilDiv,
      quotient,
      toText,
    },
  };
})();
