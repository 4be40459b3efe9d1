/* The bench on the page, without its looks: a meter with dial, keys and jacks, a standard with
 * terminals, two leads, and what is done with them. Nothing here knows of elements. Whoever changes
 * something calls a method; `tick` lets time go on; `events` has what went wrong. */
(function () {
  'use strict';
  const X = Bench.rules.exact;
  const S = Bench.simulated;
  const ENDS = Bench.benchEnds;
  const FALLS = 3; // ticks until a hazardous voltage is gone after standby (choice of this bench)

  Bench.makeBench = function (data, meterId, seed, { fault = null, sticks = false } = {}) {
    const meter = data.meters.find(one => one.id === meterId);
    const functions = meter.functions.map(one => ({ ...one, ranges: one.ranges.map(S.rangeOf) }));
    const draw = new S.Draw(seed, `errors ${meter.id}`);
    const errors = functions.map(one => S.goodErrors(one.ranges, draw, data.good));
    const sign = draw.below(2) ? 1n : -1n;
    const leadOhms = { n: BigInt(60 + draw.below(100)), d: 3 };
    const noise = new S.Draw(seed, 'last digit');
    const down = X.from(data.down);

    // ---- the dial: each position with what it measures there, one after another by a key
    const dials = [];
    functions.forEach((one, f) =>
      one.siblings.forEach(places => {
        const name = one.ranges[places[0]].dial;
        let dial = dials.find(other => other.name === name);
        if (!dial) dials.push((dial = { name, entries: [] }));
        dial.entries.push({ f, places });
      }),
    );

    const state = {
      meter,
      words: data.events,
      // builder/compute/exact/hazard.py: above, a voltage is live; what near zero is
      hazardous: Object.fromEntries(
        Object.entries(data.hazard).map(([name, number]) => [name, X.from(number)]),
      ),
      functions,
      fault,
      errors,
      sign,
      leadOhms,
      down,
      dials,
      standards: data.standards,
      dial: 0,
      entry: 0,
      hand: null, // a place among the entry's ranges, selected by hand
      here: 0, // the place that the display is on
      held: null,
      relative: null,
      leads: [],
      standard: 0,
      offer: 0,
      value: X.ZERO,
      box: null,
      hertz: X.from('50'),
      level: X.from('3'),
      behind: X.ZERO, // ohms in the way of a voltage
      heat: {}, // by jack or function, what has a limited time
      on: false,
      mains: true,
      falling: 0,
      hazard: null, // a hazardous value was on and the meter was not yet seen near zero
      burnt: {},
      seenBurnt: {}, // those that burned in this run
      events: [],
      ended: false,
      shown: [], // what the display showed since something changed
      used: [], // points that were looked at
      moved: 0,
    };
    if (fault && fault.kind === 'fuse') state.burnt[fault.jack] = true;

    Bench.benchThere(state);
    Bench.benchDisplay(state);
    Bench.benchHappens(state);
    const { offerNow: offer, functionNow: measured, rangesNow: ranges } = state;
    const { isBox, isVoltage, isLive, energised, volts, lead, rowsFor } = state;
    const { display, off, settle, touch, key, fuseOf, anyJoined } = state;

    Object.assign(state, {
      /** Whether hands may move leads: nothing hazardous, and the meter was seen near zero. */
      mayTouch: () => !(isLive() && anyJoined()) && !state.hazard,

      plug(jack, end) {
        if (!touch()) return;
        state.leads = state.leads.filter(
          one => one.jack !== jack && (ENDS.includes(end) || one.end !== end),
        );
        if (state.leads.length > 1) state.leads.shift();
        state.leads.push({ jack, end });
        settle();
      },
      unplug(jack) {
        if (!lead(jack) || !touch()) return;
        state.leads = state.leads.filter(one => one.jack !== jack);
        settle();
      },
      turn(dial) {
        if (state.ended || dial === state.dial) return;
        key();
        Object.assign(state, { dial, entry: 0, hand: null, here: 0, relative: null, held: null });
        settle();
      },
      press(name) {
        if (state.ended) return;
        const one = measured(),
          all = ranges();
        if (name !== 'hold') key();
        if (name === 'function') {
          state.entry = (state.entry + 1) % state.dials[state.dial].entries.length;
          Object.assign(state, { hand: null, here: 0, relative: null, held: null });
        } else if (name === 'range' && (one.by_hand || !one.auto)) {
          state.hand = state.hand === null ? state.here : (state.hand + 1) % all.length;
          state.relative = null;
        } else if (name === 'auto' && one.auto) {
          state.hand = null;
          state.relative = null;
        } else if (name === 'hold') {
          state.held = state.held ? null : { ...display(), isHeld: true };
        } else if (name === 'relative' && one.relative) {
          const now = display();
          if (state.relative) {
            state.relative = null;
            if (state.handByRelative) state.hand = null;
          } else if (now.size) {
            state.relative = { value: now.size };
            state.handByRelative = !one.free && state.hand === null;
            if (state.handByRelative) state.hand = now.place;
          }
        }
        settle();
      },
      /** Another standard stands beside the meter; the leads come off its terminals. */
      choose(n) {
        if (n === state.standard || state.ended || (state.leads.length && !touch())) return;
        off();
        Object.assign(state, { standard: n, offer: 0, value: X.ZERO, box: null });
        state.leads = state.leads.filter(one => ENDS.includes(one.end));
        if (isBox()) state.box = offer().values[0];
        settle();
      },
      /** Another of its outputs: a source goes to standby by itself. */
      give(n) {
        if (state.ended || n === state.offer) return;
        if (energised()) state.standby();
        Object.assign(state, { offer: n, value: X.ZERO, falling: 0 });
        state.box = isBox() ? offer().values[0] : null;
        settle();
      },
      /** Sets value, frequency and level, all exact; returns why not, or ''. */
      set({ value = state.value, hertz = state.hertz, level = state.level }) {
        if (state.ended || isBox()) return '';
        const unit = Bench.benchUnits[offer().quantity];
        const can =
          value.n >= 0n || (!offer().ac && ['voltage', 'current'].includes(offer().quantity));
        if (!can) return `${offer().kind} has no minus.`;
        if (offer().rows.length && value.n && !rowsFor(value, hertz, level).length) {
          const at = offer().quantity === 'frequency' ? `${Bench.benchText(level, 'V')} level` : '';
          const where = at || (offer().ac ? Bench.benchText(hertz, 'Hz') : '');
          return (
            `${state.standardNow().name} cannot give ${Bench.benchText(value, unit)}` +
            (where ? ` at ${where}.` : '.')
          );
        }
        Object.assign(state, { value, hertz, level });
        settle();
        return '';
      },
      pick(n) {
        if (state.ended) return;
        state.box = offer().values[n];
        settle();
      },
      /** A resistor in the way of a voltage, in ohms: with hands, at the lead. */
      putBehind(ohms) {
        if (touch()) state.behind = ohms;
        settle();
      },
      operate() {
        if (state.ended || !state.mains || isBox()) return;
        state.on = true;
        state.falling = 0;
        settle();
      },
      standby() {
        if (!state.on) return;
        state.falling = isLive() ? FALLS : 0;
        state.stuck = Boolean(sticks) && isLive();
        state.on = false;
        state.shown = [];
      },
      mainsOff() {
        if (state.ended) return;
        state.falling = isLive() ? FALLS : 0;
        state.on = false;
        state.stuck = false;
        state.mainsWanted = false;
        if (!state.falling) state.mains = false;
        state.shown = [];
      },
      mainsOn() {
        if (state.ended) return;
        Object.assign(state, { mains: true, on: false, falling: 0, stuck: false });
        sticks = false;
        settle();
      },
      /** A second instrument, proved before and after on a known source: what it reads at the
       * terminals. Seen near zero by it, hands may touch. */
      secondInstrument() {
        const live = energised() && isVoltage() ? volts() : X.ZERO;
        if (X.compare(X.abs(live), state.hazardous.near) <= 0) state.hazard = null;
        return Bench.benchText(live, 'V');
      },
      fitFuse(jack) {
        if (state.leads.length || energised()) return false;
        for (const one of fuseOf(jack).jacks) {
          delete state.burnt[one];
          delete state.seenBurnt[one];
        }
        return true;
      },
      tick() {
        if (state.ended) return;
        if (state.falling > 0) {
          state.falling -= 1;
          if (!state.falling && state.mainsWanted === false) {
            state.mains = false;
            state.mainsWanted = true;
          }
          if (!state.falling) state.shown = [];
        }
        state.moved = noise.below(601) - 300;
        const now = display();
        state.shown.push(now.text);
        state.warm(now);
        state.watch(now);
        state.remember(now);
      },
      settle,
    });
    state.mainsWanted = true;

    settle();
    state.tick();
    return state;
  };
})();
