/* Readings at the bench on the page: what was typed, whether it is within, and a point set up as it
 * should be. Knows of no elements. */
(function () {
  'use strict';
  const X = Bench.rules.exact;

  const plainly = text =>
    text
      .replace(/[−–]/g, '-')
      .replace(/[\s\u00a0]/g, '')
      .replace(',', '.')
      .replace(/^\+/, '');

  /** What was typed as a reading of this display: its text as the display has it, or {why}. */
  Bench.benchRead = function (state, typed) {
    const now = state.display();
    const found = /^(-?[\d.]+|OL)(\D*)$/i.exec(plainly(typed));
    if (!found) return { why: 'Write the digits as the display shows them, or OL.' };
    const text = found[1].toUpperCase(),
      unit = found[2].replace(/ohms?/i, 'Ω').replace(/^u(?=.)/, 'µ');
    if (unit && unit !== now.unit)
      return { wrong: true, why: `The display shows ${now.unit}, not ${unit}.` };
    const texts = now.isHeld ? [now.text] : state.shown;
    if (texts.includes(text) || text === now.text) return { text, unit: now.unit };
    const same = /\d/.test(text) && texts.some(one => one !== 'OL' && Number(one) === Number(text));
    return same
      ? { why: 'Write all digits that the display shows, zeros too.' }
      : { wrong: true, why: 'The display does not show that.' };
  };

  /** Whether a reading is within a row's limits, less the reading of the leads where there is
   * one: exact. */
  Bench.benchWithin = function (meter, point, text, less = null) {
    if (text === 'OL' || (less && less.text === 'OL')) return false;
    const on = meter.functions[point.f].ranges[point.r];
    const value = X.shift(X.from(text), on.power),
      beside = less === null ? X.ZERO : X.shift(X.from(less.text), less.power),
      held = X.subtract(value, beside),
      step = X.from(on.step);
    return (
      X.compare(held, X.multiply(step, X.whole(point.low))) >= 0 &&
      X.compare(held, X.multiply(step, X.whole(point.high))) <= 0
    );
  };

  /** Sets up a point as it should be, in standby: for who looks for a fault. Returns why not. */
  Bench.benchSetUp = function (data, meter, state, point) {
    if (state.ended) return '';
    if (!state.mayTouch() || state.energised())
      return 'First source to zero, standby, and the meter seen near zero.';
    const on = meter.functions[point.f].ranges[point.r],
      dial = state.dials.findIndex(one =>
        one.entries.some(at => at.f === point.f && at.places.includes(point.r)),
      );
    state.turn(dial);
    if (state.held) state.press('hold');
    const entry = state.dials[dial].entries.findIndex(at => at.f === point.f);
    while (state.entry !== entry) state.press('function');
    if (state.relative) state.press('relative');
    state.leads.map(lead => lead.jack).forEach(jack => state.unplug(jack));
    if (point.kind !== 'given') {
      on.jacks.forEach(jack => state.plug(jack, point.kind));
    } else {
      const [n, k] = Bench.suppliesOf(data, meter, point),
        offer = data.standards[n].gives[k];
      state.choose(n);
      state.give(k);
      if (point.relative) {
        const kind = offer.quantity === 'capacitance' ? 'apart' : 'together';
        on.jacks.forEach(jack => state.plug(jack, kind));
        state.tick();
        state.press('relative');
        on.jacks.forEach(jack => state.unplug(jack));
      }
      on.jacks.forEach((jack, m) => state.plug(jack, offer.terminals[m]));
      if (offer.values)
        state.pick(
          offer.values.findIndex(one => X.compare(X.from(one.nominal), X.from(point.sets)) === 0),
        );
      else
        state.set({
          value: X.from(point.sets),
          hertz: point.hertz && offer.quantity !== 'frequency' ? X.from(point.hertz) : state.hertz,
          level: point.level ? X.from(point.level) : state.level,
        });
    }
    const places = state.entryNow().places.indexOf(point.r);
    const auto = meter.functions[point.f].auto && !point.forced;
    if (auto && !point.relative) state.press('auto');
    else if (!auto) while (state.hand !== places) state.press('range');
    return '';
  };
})();
