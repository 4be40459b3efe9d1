/* What goes wrong at the bench of the page: what the output meets, and where hands are. */
(function () {
  'use strict';
  const X = Bench.rules.exact;
  const SHORTS = X.from('1'); // V: from here on a voltage burns a fuse (choice of this bench)
  const TICKS = 5; // in a second of a time limit, a third of its pace (choice of this bench)

  Bench.benchHappens = function (b) {
    const { offerNow: offer, functionNow: measured, isVoltage, isLive, energised } = b;
    const { volts, said, joined, anyJoined, drivesNow } = b;
    const { meter, functions } = b;

    function happen(code, facts = {}, ends = false) {
      const all = { v: said(), ...facts };
      const [what, saved] = b.words[code].map(text =>
        text.replace(/\{(\w+)\}/g, (_, name) => all[name]),
      );
      b.events.push({ code, what, saved, ends });
      if (ends) {
        b.ended = true;
        off();
        b.mains = false;
      }
    }
    function off() {
      b.on = false;
      b.falling = 0;
    }

    // Whatever was changed: does the output meet something that it should not?
    function settle() {
      b.shown = [];
      b.reading(); // which finds its range
      if (b.ended || !energised()) return;
      if (isLive() && !b.hazard)
        b.hazard = { ac: Boolean(offer().ac), value: X.abs(volts()), seen: false };
      else if (isLive()) b.hazard = { ...b.hazard, value: X.abs(volts()), seen: false };
      for (const pair of pairs()) meet(pair);
    }
    // the two jacks that the output is joined to
    function pairs() {
      const jacks = meter.jacks;
      return jacks.flatMap((a, n) =>
        jacks.slice(n + 1).flatMap(b => (joined(a, b) ? [[a, b]] : [])),
      );
    }
    const jackOf = (quantity, pair) => {
      for (const one of functions)
        if (one.quantity === quantity)
          for (const on of one.ranges)
            if (on.jacks.every(jack => pair.includes(jack))) return on.jacks[0];
      return '';
    };
    const fuseOf = jack => (meter.fuses || []).find(one => one.jacks.includes(jack));

    function meet(pair) {
      const current = jackOf('current', pair),
        voltage = jackOf('voltage', pair);
      const low = pair.find(jack => jack !== current);
      if (isVoltage()) {
        const shunt = current && (!voltage || measured().quantity === 'current');
        if (shunt) return shorted(current, low);
        if (voltage) return atTheInput();
        return;
      }
      if (offer().quantity !== 'current' || !b.value.n) return;
      if (voltage && (!current || measured().quantity !== 'current')) {
        happen('no-way', { jack: `${pair[0]} to ${pair[1]}` });
        return off();
      }
      const fuse = fuseOf(current);
      if (fuse && fuse.amps && X.compare(X.abs(b.value), X.from(fuse.amps)) > 0) {
        burn(current);
        happen('fuse-current', { jack: current, rating: fuse.rating });
        off();
      }
    }
    function shorted(jack, low) {
      if (b.burnt[jack] || X.compare(X.abs(volts()), SHORTS) < 0) return;
      const fuse = fuseOf(jack);
      if (!fuse) return happen('no-fuse', { jack, low }, true);
      const right = functions.find(one => one.quantity === 'voltage');
      happen('fuse', {
        jack,
        low,
        rating: fuse.rating,
        volts: right ? right.ranges[0].jacks.join(' and ') : 'the voltage jacks',
      });
      burn(jack);
      off();
      b.hazard = null; // the source tripped, and what it was joined to is open
    }
    const burn = jack =>
      fuseOf(jack).jacks.forEach(one => (b.burnt[one] = b.seenBurnt[one] = true));

    function atTheInput() {
      const one = measured(),
        size = X.abs(volts()),
        hertz = offer().quantity === 'frequency' ? b.value : b.hertz,
        unit = { highest: 'V', peak: 'V peak', volt_hertz: 'V·Hz' };
      const over = [];
      const own = ['voltage', 'frequency'].includes(one.quantity) ? one : {};
      if (X.compare(size, X.from(meter.rated)) > 0)
        over.push(`its terminals are rated ${Bench.benchText(X.from(meter.rated), 'V')}`);
      else if (own.highest && X.compare(size, X.from(own.highest)) > 0)
        over.push(`${one.name} bears ${Bench.benchText(X.from(own.highest), unit.highest)}`);
      else if (own.peak && X.compare(peakSquared(size), square(X.from(own.peak))) > 0)
        over.push(`${one.name} bears ${Bench.benchText(X.from(own.peak), unit.peak)}`);
      else if (
        own.volt_hertz &&
        offer().ac &&
        X.compare(X.multiply(size, hertz), X.from(own.volt_hertz)) > 0
      )
        over.push(`${one.name} bears ${Bench.benchText(X.from(own.volt_hertz), unit.volt_hertz)}`);
      if (over.length) return happen('over', { limit: over[0] }, true);
      if (['resistance', 'capacitance'].includes(one.quantity) && size.n) {
        const dial = b.dials[b.dial].name;
        if (isLive()) happen('ohms', { dial }, true);
        else if (X.compare(size, SHORTS) >= 0) happen('ohms-low', { dial });
        return;
      }
      const drives = drivesNow();
      if (one.quantity === 'voltage' && one.ohms && drives) {
        if (X.compare(size, X.multiply(X.from(drives), X.from(one.ohms))) > 0) {
          happen('drive', { load: Bench.benchText(X.from(one.ohms), 'Ω') });
          off();
          b.hazard = null;
        }
      }
    }
    const square = value => X.multiply(value, value);
    const peakSquared = size => (offer().ac ? X.multiply(X.whole(2), square(size)) : square(size));

    // ---- how long an input may be on: the limit of a current belongs to what lies behind its jack
    /** Time goes on: `now` is what the display shows. */
    function warm({ on }) {
      const { jacks, name } = on;
      const flows = energised() && joined(...jacks) && b.value.n && on.on;
      const carries = measured().quantity === 'current' ? jacks[0] : measured().name;
      for (const [key, one] of Object.entries(b.heat))
        if (!flows || key !== carries) {
          one.rest += 1;
          if (one.rest >= one.off * TICKS) delete b.heat[key];
        }
      if (!flows) return;
      const one = b.heat[carries] || { off: on.off || '0', limit: on.on, lasts: 0, rest: 0 };
      b.heat[carries] = one;
      if (one.rest) {
        happen('no-pause', { range: `The ${name} range`, off: Bench.benchSeconds(on.off) });
        off();
      } else if ((one.lasts += 1) > one.limit * TICKS) {
        happen('too-long', { range: `The ${name} range`, on: Bench.benchSeconds(on.on) });
        off();
      }
    }
    /** How long what has a limit is on, in words; '' where nothing is. */
    const warming = () => {
      const one = energised() && Object.values(b.heat).find(other => !other.rest);
      return one ? `${Math.floor(one.lasts / TICKS)} of ${one.limit} s` : '';
    };
    /** Whether a pause is due, in words; and the pause gone by. */
    const resting = () => {
      const [one] = Object.values(b.heat).filter(other => other.rest || !energised());
      return one ? `${Bench.benchSeconds(one.off)} with the output off` : '';
    };
    const rest = () => energised() || (b.heat = {});

    // ---- hands
    /** What it means to touch a lead now. */
    function touch() {
      if (b.ended) return false;
      if (isLive() && anyJoined()) {
        happen(b.on ? 'hand-live' : b.stuck ? 'hand-stuck' : 'hand-falling', {}, true);
        return false;
      }
      if (energised() && b.on && volts().n && anyJoined()) happen('hand-on');
      else if (b.hazard) {
        happen('hand-unseen');
        b.hazard = null;
      }
      return true;
    }

    const key = () => {
      if (isLive() && anyJoined()) happen('key-live');
    };

    Object.assign(b, { happen, off, settle, touch, key, fuseOf, warm, warming, resting, rest });
  };
})();
