/* Which steps around a group one tap may tick, and which are as the group before left them. Pure
 * functions, as in record.js. */
(function () {
  'use strict';
  const { record } = Bench;

  /** Cautions that warn of a spoilt reading or a burnt fuse, and of nothing that hurts. */
  const HURTS_NOBODY = ['current-jacks', 'small-charge'];

  /** Whether one tap may tick all steps before or after a group. Each has its own tick where
   * something is live or charged, where steps belong between readings, where a time counts from a
   * tick, where something is written down, and where data have no codes. */
  record.isSetAtOnce = function (data, group) {
    const points = data.points.filter(point => point.group === group.group);
    const steps = [...group.opening, ...points.flatMap(point => point.before || [])];
    return (
      !group.hazard &&
      group.opening_steps.length === group.opening.length &&
      group.cautions.length === group.warnings.length &&
      group.cautions.every(one => HURTS_NOBODY.includes(one)) &&
      !points.some(point => point.on_at_most || point.pause || point.kind === 'reference') &&
      !steps.some(step => step.includes('____'))
    );
  };

  /** What stays as it is set while nobody changes it; the latter goes with the dial. */
  const STAYS = ['dial', 'leads', 'leads-together', 'leads-apart', 'own-leads', 'at-hand'];
  const GOES_WITH_THE_DIAL = ['modes-off', 'keys-off', 'range-automatic'];

  /** The group that was set up last, other than this one. */
  function setLast(data, group, fields) {
    let last = null;
    let when = '';
    for (const one of data.groups) {
      if (one.group === group.group) continue;
      one.opening.forEach((_, n) => {
        const tick = fields.get(`tick/${one.group}/before/${n}`);
        if (tick && tick.value === 'yes' && tick.at > when) [last, when] = [one, tick.at];
      });
    }
    return last;
  }

  /** The steps before a group, by number, that are as the group before left them: those alone that
   * stay as they are, and only where that group was the last to be set up. */
  record.asBefore = function (data, group, fields) {
    const before = data.groups[data.groups.findIndex(one => one.group === group.group) - 1];
    const codes = group.opening_steps;
    if (
      !before ||
      !record.isSetAtOnce(data, group) ||
      setLast(data, group, fields) !== before ||
      before.closing_steps.some(code => !['source-zero', 'standby'].includes(code))
    )
      return [];
    const isSame = n => {
      const k = before.opening.indexOf(group.opening[n]);
      return k >= 0 && record.isTicked(before, k, fields);
    };
    const all = codes.map((_, n) => n).filter(isSame);
    const dial = codes.indexOf('dial');
    const kept = dial < 0 || all.includes(dial) ? [...STAYS, ...GOES_WITH_THE_DIAL] : STAYS;
    return all.filter(n => kept.includes(codes[n]));
  };
})();
