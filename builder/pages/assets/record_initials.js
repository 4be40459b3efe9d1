/* Whose initials stand at a group, where two people share a record. Pure functions, as in
 * record.js. */
(function () {
  'use strict';
  const { record } = Bench;
  const nameOf = group => 'initials/' + group.group;

  /** The initials that were typed last in this record. */
  const last = (data, fields) =>
    data.groups
      .map(group => fields.get(nameOf(group)))
      .filter(field => field && String(field.value).trim())
      .reduce((best, field) => (best && best.at >= field.at ? best : field), null);

  /** What a group's field shows: its own initials, else those typed last. */
  record.initials = function (data, group, fields) {
    const shown = fields.get(nameOf(group)) || last(data, fields);
    return shown ? String(shown.value) : '';
  };
  record.initialsName = nameOf;

  const groupOf = function (data, name) {
    const [kind, which] = name.split('/');
    if (kind === 'point') return (data.points.find(one => one.id === which) || {}).group;
    if (kind === 'check') return (data.checks.find(one => one.step === which) || {}).group;
    return ['tick', 'blank', 'open', 'near_zero', 'otherwise'].includes(kind) ? which : undefined;
  };

  /** With the first entry at a group the initials that its field shows become its own, so that
   * whoever comes later changes nothing of what was done before: [name, value], or null. */
  record.initialsToKeep = function (data, name, fields) {
    const number = groupOf(data, name);
    const group = data.groups.find(one => one.group === number);
    if (!group || fields.has(nameOf(group)) || !last(data, fields)) return null;
    return [nameOf(group), record.initials(data, group, fields)];
  };

  /** What else is set before `name = value`, so that nothing is taken away or put under another
   * name: [name, value] of each. */
  record.setFirst = (data, name, value, fields) =>
    [
      record.readingToKeep(data, name, value, fields),
      record.initialsToKeep(data, name, fields),
    ].filter(Boolean);
})();
