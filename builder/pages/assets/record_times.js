/* How long an output has been on, or must still be off, from the times at which its steps were
 * ticked: so a reload changes nothing. Pure functions, as in record.js. */
(function () {
  'use strict';
  const { record } = Bench;
  const ON = /^(source|supply)-on(-for)?$/;
  const OFF = /^(source-standby|source-zero|standby|supply-off)$/;

  /** The steps of a group in order, each {code, at, point}: `point` is the one that it stands
   * before, null behind the last one; `at` is when it was ticked, in ms, or null. */
  function steps(data, group, fields) {
    const points = data.points.filter(point => point.group === group.group);
    const ticked = (codes, name, point) =>
      (codes || []).map((code, n) => {
        const field = fields.get(name(n));
        return { code, point, at: field && field.value === 'yes' ? Date.parse(field.at) : null };
      });
    const own = (part, codes, point) =>
      ticked(codes, n => `tick/${group.group}/${part}/${n}`, point);
    return [
      ...own('before', group.opening_steps, points[0]),
      ...points.flatMap(point =>
        ticked(point.before_steps, n => record.tickBefore(point, n), point),
      ),
      ...own('after', group.closing_steps, null),
    ].map(step => ({ ...step, row: step.point ? points.indexOf(step.point) : points.length }));
  }

  const ms = amount => (amount ? parseFloat(amount) * 1000 : null);

  /** For a point under a time limit {on, rest, spell}: `on` is {since, until} while the output is
   * on by the ticks, `rest` is {until, early}: when the pause before the point is over, and by how
   * many ms it was cut short, both null where they don't apply. `spell` names the step that
   * switches the output on for it: points that share it share the time. */
  record.times = function (data, point, fields) {
    if (record.fromPaper(fields)) return { on: null, rest: null, spell: '', isBegun: false };
    const group = data.groups.find(one => one.group === point.group);
    const row = data.points.filter(one => one.group === point.group).indexOf(point);
    const all = steps(data, group, fields);
    const before = all.filter(step => step.row <= row);
    const on = before.filter(step => ON.test(step.code)).pop();
    const off = all.find(step => step.row > row && OFF.test(step.code) && step.at !== null);
    const since = on ? on.at : null;
    const most = ms(point.on_at_most);
    const isOn = since !== null && most !== null && !(off && off.at >= since);
    const pause = ms(point.pause);
    const rests = before.filter(step => step.row === row && OFF.test(step.code)).shift();
    const until = pause && rests && rests.at !== null ? rests.at + pause : null;
    return {
      on: isOn ? { since, until: since + most } : null,
      rest: until === null ? null : { until, early: since ? Math.max(0, until - since) : 0 },
      spell: on ? `${group.group}/${on.row}` : '',
      isBegun: since !== null,
    };
  };
})();
