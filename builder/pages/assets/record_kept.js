/* What stays of a reading that is changed after it stood, and what can be taken back. Pure
 * functions, as in record.js. */
(function () {
  'use strict';
  const { record } = Bench;
  const { text } = record;
  const STANDS = 10000; // ms after which a complete reading stays, a choice of this project
  const MOST = (record.MOST_TRIES = 10); // that a record takes at one step
  const READING = /^point\/([^/]+)\/([12])(?:\/(?:reference|after))?$/;
  const keptAt = point => `point/${point.id}/kept`;

  /** Why a reading was changed, as it is kept and as it is asked. */
  record.WHY = { misread: 'misread', mistyped: 'typed wrongly', 'read again': 'read again' };

  /** The readings of a point that were changed after they stood, the first one first: {n, reading,
   * reference, confirmed, at, why}; `why` is "" until somebody said it. */
  record.kept = function (point, fields) {
    const list = text(fields, keptAt(point));
    return list ? JSON.parse(list) : [];
  };

  const pointOf = function (data, name) {
    const [, id, n] = READING.exec(name) || [];
    return { point: id && data.points.find(one => one.id === id), n };
  };

  /** What `name = value` would take away of a reading that is complete and was left alone for ten
   * seconds, kept behind the earlier ones: [name, value] to set first, or null. What goes on to the
   * display's last digit, or to the other extreme, takes nothing away; and finished paper keeps its
   * own mistakes. `now` in ms. */
  record.readingToKeep = function (data, name, value, fields, now = Date.now()) {
    const { point, n } = pointOf(data, name);
    if (!point || !takesAway(point, text(fields, name), value) || record.fromPaper(fields))
      return null;
    const one = record.tries(data, point, fields).find(other => other.n === n && !other.why);
    if (!one || !record.DONE.includes(one.result.outcome)) return null;
    const times = ['', '/reference', '/after']
      .map(part => fields.get(`point/${point.id}/${n}${part}`))
      .map(field => (field ? Date.parse(field.at) : 0));
    const stood = now - Math.max(...times);
    if (stood >= 0 && stood < STANDS) return null; // a clock that was set back knows nothing
    const { reading, reference, confirmed, at } = one;
    const list = [...record.kept(point, fields), { n, reading, reference, confirmed, at, why: '' }];
    return [keptAt(point), JSON.stringify(list)];
  };
  function takesAway(point, before, value) {
    const now = String(value).trim();
    if (before === '' || before === now) return false;
    const [, decimals = ''] = before.split(/[.,]/);
    const goesOn = now[before.length] === '/' || decimals.length < point.decimals;
    return !(now.startsWith(before) && goesOn);
  }

  /** The readings of the nth try that were changed: all but what stands again as it was. */
  record.changed = (point, n, reading, reference, fields) =>
    record.kept(point, fields).filter(one => one.n === n && !isSame(one, reading, reference));
  record.standsAgain = (point, n, reading, reference, fields) =>
    record.kept(point, fields).find(one => one.n === n && isSame(one, reading, reference));
  const isSame = (one, reading, reference) =>
    one.reading === reading && one.reference === reference;

  /** The same of all tries of a point, for showing: {n, at, reading, time, words, why, cause}. */
  record.changedAt = (data, point, fields) =>
    record
      .tries(data, point, fields)
      .filter(one => one.why)
      .map(one => ({
        ...one,
        time: new Date(one.at).toTimeString().slice(0, 5),
        words: one.why === '?' ? '' : record.WHY[one.why] + (one.cause ? ': void' : ''),
      }));

  /** Says why a reading of a point, one of its tries, was changed: `why` is a key of WHY. */
  record.sayWhy = function (point, changed, why, fields, set) {
    const isIt = one => one.n === changed.n && one.at === changed.at;
    const list = record.kept(point, fields).map(one => (isIt(one) ? { ...one, why } : one));
    return set(keptAt(point), JSON.stringify(list));
  };

  /** What `name = value` takes away that can be brought back: {name, value, words}, or null. A
   * single key that is deleted is typed again as quickly. */
  record.toTakeBack = function (data, name, value, fields) {
    const { point } = pointOf(data, name);
    const before = text(fields, name);
    if (!point || !takesAway(point, before, value)) return null;
    if (String(value).trim() === before.slice(0, -1)) return null;
    return { name, value: before, words: `step ${point.step} was ${before}` };
  };
})();
