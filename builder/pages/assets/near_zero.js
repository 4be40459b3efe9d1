/* What closes a live group: what builder/records/near_zero.py does, once more, for the phone. Pure
 * functions; tests/pages/test_near_zero_js.py holds every answer against the builder's own. */
(function () {
  'use strict';
  const Bench = window.Bench;
  const { rules, tables } = Bench;
  const { from: exact, abs, compare, multiply, shift, subtract } = rules.exact;
  const nearZero = (Bench.nearZero = {});
  const CLOSES = (nearZero.CLOSES = 'near zero');
  const [SEEN_WITHIN, NEAR_ZERO, HAZARDOUS] = tables.near_zero_numbers.map(exact);

  const limit = group => (group.near_zero_limit ? exact(group.near_zero_limit) : NEAR_ZERO);
  const hazardous = group => (group.hazardous_from ? exact(group.hazardous_from) : HAZARDOUS);

  /** What a typed reading says of a live group: 'near zero', 'between', 'live', 'overload',
   * 'no-voltage', 'no-unit' or ''. `unit` stands behind a number that was typed without one. */
  nearZero.judge = function (typed, group, unit = '') {
    const text = typed.trim();
    if (!text) return '';
    if (rules.isOverload(text)) return 'overload';
    const read = rules.typedNumber(text);
    if (read.reason) return 'no-voltage';
    const stated = read.rest || unit;
    if (!stated) return 'no-unit';
    const known = rules.typedUnit(stated);
    if (!known || known.base !== 'V') return 'no-voltage';
    const volts = shift(abs(read.value), known.power);
    if (compare(volts, hazardous(group)) > 0) return 'live';
    return compare(volts, limit(group)) <= 0 ? CLOSES : 'between';
  };

  /** The reading with its unit, as it is kept and shown. */
  nearZero.withUnit = function (typed, unit) {
    const text = typed.trim();
    if (!text || !unit || rules.isOverload(text)) return text;
    const read = rules.typedNumber(text);
    return read.reason || read.rest ? text : `${text} ${unit}`;
  };

  /** The unit of a reading that was kept without one: older sheets printed it. */
  nearZero.unitWithout = group => (group.near_zero_limit ? '' : group.near_zero || '');

  /** What is said of a reading, with its unit. */
  nearZero.says = (kind, typed, group) =>
    kind && kind !== CLOSES
      ? rules.filled(tables.near_zero[kind], {
          text: typed.slice(0, 30),
          reading: rules.pretty(typed.slice(0, 30)),
          limit: rules.pretty(group.near_zero_limit || '1 V'),
        })
      : '';

  /** Whether the last reading of a live group was within a tenth of the hazardous value applied.
   * `taken` are its readings in the order of the sheet, {point, reading, at}; where all have a time
   * the latest is the last. One from before `opened` counts for nothing. */
  nearZero.sawLiveValue = function (taken, opened = '') {
    const timed = taken.every(one => one.at);
    const later = (a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0);
    const inOrder = timed ? [...taken].sort(later) : taken;
    const last = inOrder[inOrder.length - 1];
    if (!last || (last.at && last.at < opened)) return false;
    const { point, reading } = last;
    if (!point.hazard || point.find || point.level || rules.unitOf(point.unit).base !== 'V')
      return false;
    const applied = exact(point.apply);
    const most = multiply(SEEN_WITHIN, abs(applied));
    return rules
      .flickering(reading, { unit: point.unit })
      .every(one => one.kind === 'number' && compare(abs(subtract(one.value, applied)), most) <= 0);
  };
})();
