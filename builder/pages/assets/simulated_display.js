/* What the meter on the bench of the page shows of what comes to its input. */
(function () {
  'use strict';
  const X = Bench.rules.exact;
  const S = Bench.simulated;
  const STRAY = X.from('0.00000000008'); // F, of the leads (choice of this bench)
  const [TOGETHER, APART] = Bench.benchEnds;

  Bench.benchDisplay = function (b) {
    const { offerNow: offer, entryNow: entry, functionNow: measured, rangesNow: ranges } = b;
    const { isBox, isVoltage, isLive, energised, volts, said, joined, ends } = b;
    const { functions, fault, sign, errors, leadOhms, down } = b;

    // What stands at the input for what the dial asks, exact; null is an open input.
    function input() {
      const one = measured(),
        [high, low] = ranges()[0].jacks,
        way = joined(high, low),
        given = offer(),
        on = way && energised();
      if (one.quantity === 'voltage' || one.quantity === 'current') {
        const same = given.quantity === one.quantity || (one.quantity === 'voltage' && isVoltage());
        if (!on || !same || b.burnt[high] || Boolean(given.ac) !== Boolean(one.ac)) return X.ZERO;
        const size = one.quantity === 'voltage' ? loaded(volts(), one.ohms) : b.value;
        return given.ac ? X.abs(size) : way < 0 ? X.negate(size) : size;
      }
      if (one.quantity === 'frequency') {
        const level = on && isVoltage() && given.ac ? X.abs(volts()) : X.ZERO;
        if (!level.n || (one.sensitivity && X.compare(level, X.from(one.sensitivity)) < 0))
          return X.ZERO;
        return given.quantity === 'frequency' ? b.value : b.hertz;
      }
      const box = way && isBox() && given.quantity === one.quantity && b.box;
      const extra = one.quantity === 'capacitance' ? STRAY : ohmsOfLeads();
      const beside = one.leads ? extra : X.ZERO;
      if (box) return X.add(X.from(box.value), beside);
      if (one.quantity === 'capacitance') return ends() === TOGETHER ? null : beside;
      return ends() === TOGETHER ? beside : null;
    }
    // what an input takes of a voltage behind a resistance: U·Rin/(Rs + Rin), to 10⁻²⁰ V
    function loaded(size, ohms) {
      if (!b.behind.n || !ohms) return size;
      const inside = X.from(ohms),
        both = X.add(b.behind, inside);
      return { n: X.floorDiv(X.shift(X.multiply(size, inside), 20), both), d: 20 };
    }
    const ohmsOfLeads = () =>
      fault && fault.kind === 'leads' ? X.add(leadOhms, X.whole(3)) : leadOhms;

    // ---- the hidden error of a range
    function errorOf(f, r) {
      const own = errors[f][r],
        on = functions[f].ranges[r],
        gain = X.multiply(on.loose, X.whole(3n * sign));
      if (!fault) return own;
      if (fault.kind === 'digit') return { ...own, stuck: fault.digit };
      if (fault.f !== f) return own;
      if (fault.kind === 'whole' || (fault.r === r && fault.kind === 'gain'))
        return { ...own, gain: X.add(own.gain, gain) };
      if (fault.kind === 'row' && fault.r === r && inBand())
        return { ...own, gain: X.add(own.gain, gain) };
      if (fault.kind === 'offset')
        return {
          ...own,
          offset: X.add(own.offset, X.multiply(on.step, X.whole(BigInt(fault.counts) * 3n * sign))),
        };
      if (fault.kind === 'bow' && fault.r === r) return { ...own, bow: gain };
      return own;
    }
    function inBand() {
      if (!offer().ac) return false;
      const [low, high] = fault.band.map(X.from),
        at = offer().quantity === 'frequency' ? b.value : b.hertz,
        above = X.compare(at, low);
      return (above > 0 || (fault.first && above === 0)) && X.compare(at, high) <= 0;
    }

    // ---------------------------------------------------------------- the display

    function reading() {
      const one = measured(),
        at = entry(),
        own = ranges(),
        x = input();
      const all = own.map((on, n) => {
        if (x === null) return null;
        const moved = Math.max(-on.moves, Math.min(on.moves, b.moved));
        return S.counts(on, x, errorOf(at.f, at.places[n]), one.minus, moved);
      });
      let place = b.hand === null ? Math.min(b.here, own.length - 1) : b.hand;
      if (b.hand === null && one.auto)
        place = x === null ? own.length - 1 : S.rangeFor(own, place, all, down);
      b.here = place;
      const on = own[place],
        count = all[place],
        over = count === null || S.isOver(on, count);
      return { on, place, r: at.places[place], f: at.f, over, count };
    }

    const textOf = (on, count) =>
      X.toText(X.shift(X.multiply({ n: count, d: 0 }, on.step), -on.power), on.decimals || 0);

    function display() {
      if (b.held) return b.held;
      const now = reading(),
        { on, count, over } = now;
      let counted = over ? null : S.shown(count, errorOf(now.f, now.r));
      if (counted !== null && b.relative) {
        const { value } = b.relative;
        counted -= X.floorDiv(
          X.add(X.multiply(value, X.whole(2)), on.step),
          X.multiply(on.step, X.whole(2)),
        );
      }
      return {
        ...now,
        counted,
        text: counted === null ? 'OL' : textOf(on, counted),
        unit: on.unit,
        name: measured().name,
        range: on.name,
        size: counted === null ? null : X.multiply({ n: counted, d: 0 }, on.step),
      };
    }

    // The meter that read the live value within a tenth and then at most near zero has been seen.
    function watch(now) {
      const one = measured();
      if (!b.hazard || now.isHeld || one.quantity !== 'voltage' || now.size === null) return;
      if (Boolean(one.ac) !== b.hazard.ac) return;
      const { near, most, counts, within } = b.hazardous,
        size = X.abs(now.size);
      if (isLive()) {
        const off = X.abs(X.subtract(size, b.hazard.value));
        if (X.compare(off, X.multiply(b.hazard.value, within)) <= 0) b.hazard.seen = true;
        return;
      }
      const counted = X.multiply(now.on.step, counts),
        wide = X.compare(counted, near) > 0 ? counted : near,
        limit = X.compare(wide, most) > 0 ? most : wide;
      if (b.hazard.seen && X.compare(size, limit) <= 0) b.hazard = null;
    }

    // A point was looked at: something stood at the input for two displays.
    function remember(now) {
      const [high, low] = ranges()[0].jacks;
      const looked = (isBox() && joined(high, low)) || (energised() && joined(high, low));
      const alone = ends() === TOGETHER || ends() === APART;
      if (b.shown.length < 2 || !(looked || alone)) return;
      const at = offer().ac ? X.toText(b.hertz) : '';
      const given = alone ? `leads ${ends()}` : isBox() ? b.box.said : said();
      const name = JSON.stringify([now.f, now.r, given, at]);
      if (!b.used.some(used => used.name === name))
        b.used.push({ name, given, range: now.range, text: now.text, unit: now.unit });
    }

    Object.assign(b, { reading, display, watch, remember });
  };
})();
