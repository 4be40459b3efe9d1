/* The arithmetic of the bench on the page: builder/practice/simulated_meter.py once more, exact,
 * and builder/compute/exact/draw.py, so that a seed hides the same error everywhere. */
(function () {
  'use strict';
  const X = Bench.rules.exact;

  const MASK = (1n << 64n) - 1n;
  class Draw {
    constructor(seed, label = '') {
      this.state = BigInt(seed) & MASK;
      for (const byte of new TextEncoder().encode(label)) {
        this.state = (this.state * 31n + BigInt(byte) + 1n) & MASK;
        this.below(2);
      }
    }
    below(count) {
      this.state = (this.state + 0x9e3779b97f4a7c15n) & MASK;
      let z = this.state;
      z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & MASK;
      z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & MASK;
      return Number((z ^ (z >> 31n)) % BigInt(count));
    }
    one(among) {
      return among[this.below(among.length)];
    }
  }

  const thousandths = n => ({ n: BigInt(n), d: 3 });
  const NONE = { gain: X.ZERO, offset: X.ZERO, bow: X.ZERO, stuck: null };

  /** A range of the page's data, its numbers exact. */
  const rangeOf = given => ({
    ...given,
    full: X.from(given.full),
    step: X.from(given.step),
    highest: X.from(given.highest),
    up: given.up === undefined ? null : X.from(given.up),
    down: given.down === undefined ? null : X.from(given.down),
    slope: X.from(given.slope),
    offset: X.from(given.offset),
    loose: X.from(given.loose),
  });

  function goodErrors(ranges, draw, good) {
    const share = () => thousandths(draw.below(2 * good + 1) - good);
    return ranges.map(on => ({
      ...NONE,
      gain: X.multiply(on.slope, share()),
      offset: X.multiply(on.offset, share()),
    }));
  }

  // What the converter makes of x, in counts; half a count is rounded away from zero.
  function counts(on, x, error, minus, moved = 0) {
    const size = X.abs(x),
      rest = X.subtract(on.full, size),
      near = X.compare(size, rest) < 0 ? size : rest,
      bent = X.multiply(error.bow, x.n < 0n ? X.negate(near) : near),
      value = [
        X.multiply(x, error.gain),
        error.offset,
        bent,
        X.multiply(on.step, thousandths(moved)),
      ].reduce(X.add, x),
      twice = X.multiply(X.abs(value), X.whole(2)),
      whole = X.floorDiv(X.add(twice, on.step), X.multiply(on.step, X.whole(2)));
    const signed = value.n < 0n ? -whole : whole;
    return minus || signed > 0n ? signed : 0n;
  }

  const sizeOf = (on, reading) => X.abs(X.multiply({ n: reading, d: 0 }, on.step));
  const isOver = (on, reading) => X.compare(sizeOf(on, reading), on.highest) > 0;

  function shown(reading, error) {
    if (!error.stuck) return reading;
    const [place, digit] = error.stuck,
      ten = 10n ** BigInt(place),
      size = reading < 0n ? -reading : reading,
      stuck = size + (BigInt(digit) - ((size / ten) % 10n)) * ten;
    return reading < 0n ? -stuck : stuck;
  }

  // The place of the range that an autoranging meter goes to.
  function rangeFor(ranges, here, readings, down) {
    const goesUp = n =>
      isOver(ranges[n], readings[n]) ||
      (ranges[n].up !== null && X.compare(sizeOf(ranges[n], readings[n]), ranges[n].up) >= 0);
    const goesDown = n => {
      const leaves = ranges[n].down || X.multiply(ranges[n - 1].highest, down);
      return X.compare(sizeOf(ranges[n], readings[n]), leaves) <= 0 && !goesUp(n - 1);
    };
    let place = here;
    while (place + 1 < ranges.length && goesUp(place)) place += 1;
    while (place > 0 && place <= here && goesDown(place)) place -= 1;
    return place;
  }

  Bench.simulated = { Draw, NONE, rangeOf, goodErrors, counts, isOver, shown, rangeFor, sizeOf };
})();
