/* After the verdict: the tolerance as a band with the reading as a dot, and where the reading of
 * this meter was at its last verification. A float draws, and judges nothing. */
(function () {
  'use strict';
  const { record, rules, make, sheet, view } = Bench;
  const JUMP = 50; // percent of the tolerance between two verifications, a choice of this project
  const place = make('div', { class: 'band' });

  // ---- what was read last time, by serial number and point: [day, percent of the tolerance]
  let lasts = {};
  Bench.last = data => {
    lasts = data;
    if (view.on()) view.bring();
  };
  document.head.append(make('script', { src: `../data/last/${sheet.data.meter}.js` }));

  const X = percent => 150 + 1.05 * Math.max(-130, Math.min(130, percent)); // of 300 across
  const signed = percent => (percent < 0 ? '−' : '+') + Math.abs(percent).toFixed(0) + '\u00a0%';

  /** Where the acceptance limits stand in the band, in percent of the tolerance. */
  function accepted({ accept, tolerance_limits: limits }) {
    const across = limits.high_counts - limits.low_counts;
    if (!accept || !across) return [-100, 100];
    return [accept.low_counts, accept.high_counts].map(
      one => (200 * (one - limits.low_counts)) / across - 100,
    );
  }

  function drawn(point, percent, last) {
    const [from, to] = accepted(point);
    const x = X(percent);
    const dot =
      Math.abs(percent) <= 100
        ? `<circle class="dot" cx="${x}" cy="13" r="6"/>`
        : `<path class="dot out" d="M${x} 5 l8 8 -8 8 -8 -8z"/>`;
    return (
      '<svg viewBox="0 0 300 26" aria-hidden="true">' +
      '<rect x="45" y="8" width="210" height="10"/>' +
      `<rect class="accepted" x="${X(from)}" y="8" width="${X(to) - X(from)}" height="10"/>` +
      '<line x1="150" y1="4" x2="150" y2="22"/>' +
      (last ? `<circle class="last" cx="${X(last[1])}" cy="13" r="5"/>` : '') +
      dot +
      '</svg>'
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
