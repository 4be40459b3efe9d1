/* After the verdict: the tolerance as a band with the reading as a dot, and where the reading of
 * this meter was at its last verification. A float draws, and judges nothing. */
(function () {
  'use strict';
  const { record, rules, make, sheet, view } = Bench;
  const JUMP = 50; // percent of the tolerance between two verifications, a choice of this project
  const place = make('div', { class: 'in-band' });

  // ---- what was read last time, by serial number and point: [day, percent of the tolerance]
  let lasts = {};
  Bench.last = data => {
    lasts = data;
    if (view.on()) view.bring();
  };
  document.head.append(make('script', { src: `../data/last/${sheet.data.meter}.js` }));

  const { band } = Bench; // drawing/reading_band.py
  const at = percent =>
    `${(50 + (50 * Math.max(-band.most, Math.min(band.most, percent))) / band.most).toFixed(2)}%`;
  const sign = (what, percent) => band[what].replaceAll('{x}', at(percent));
  const signed = percent => (percent < 0 ? '−' : '+') + Math.abs(percent).toFixed(0) + '\u00a0%';

  /** Where the acceptance limits stand inside the tolerance, in percent of it. */
  function guard({ accept, tolerance_limits: limits }) {
    const across = limits.high_counts - limits.low_counts;
    if (!accept || !across) return [];
    return [accept.low_counts, accept.high_counts]
      .map(one => (200 * (one - limits.low_counts)) / across - 100)
      .filter(one => Math.abs(one) < 100);
  }

  /** As a report has it, with the last verification beside it. */
  function drawn(point, percent, last) {
    const off = Math.abs(percent);
    const beyond = percent < 0 ? 'below' : 'above';
    const mark = off > band.most ? beyond : off > 100 ? 'outside' : 'inside';
    return (
      `<svg class="band" aria-hidden="true">${band.ground}` +
      guard(point)
        .map(one => sign('limit', one))
        .join('') +
      (last ? sign('last', last[1]) : '') +
      `${sign(mark, percent)}</svg>`
    );
  }

  view.shown.push(stop => {
    const point = stop && stop.kind === 'point' ? stop.point : null;
    const tries = point ? record.tries(sheet.data, point, sheet.fields) : [];
    const { outcome, percent } = tries.length ? tries[tries.length - 1].result : {};
    const now = percent === null || percent === undefined ? NaN : parseFloat(percent);
    if (!record.DONE.includes(outcome) || isNaN(now) || !point.tolerance_limits)
      return place.remove();
    const last = (lasts[sheet.text('serial')] || {})[point.id];
    place.innerHTML = drawn(point, now, last);
    if (last) {
      const moved = now - last[1];
      const words = `Last time, ${last[0]}: ${signed(last[1])} of tolerance.`;
      const asks = ` ${signed(moved)} since then: check the value, the range and the leads.`;
      place.append(make('p', {}, words, Math.abs(moved) > JUMP ? make('b', {}, asks) : ''));
    }
    const says = stop.here[0].querySelector('output.says');
    if (says.nextElementSibling !== place) says.after(place);
  });
})();
