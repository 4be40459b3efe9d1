/* A record that another device handed over: read from its file, and put together with what is here.
 * Pure functions, as in record.js. */
(function () {
  'use strict';
  const { record } = Bench;
  const { text } = record;
  const ID = /^\d{4}-\d\d-\d\d-[0-9a-f]{8}$/;
  const TIME = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/;
  const OF_A_TRY = /^point\/[^/]+\/[12](\/|$)/;

  /** The content of a file as {record, fields}, as `store.get` has them, or {wrong}: why not,
   * behind its name. What claims to be from later than `now` is from now: the latest one counts. */
  record.takenIn = function (content, now = new Date().toISOString()) {
    let file;
    try {
      file = JSON.parse(content);
    } catch (error) {
      return { wrong: 'is no record, or was cut short' };
    }
    const { record: id, procedure, revision, meter, begun, typed, judged_by: data } = file || {};
    const own = data && data.procedure === procedure && data.revision === revision;
    if (!own || file.format !== 1 || !ID.test(id)) return { wrong: 'is no record of a phone' };
    if (!typed) return { wrong: 'is of an earlier version: only the builder reads it' };
    const kept = { id, procedure, revision, title: data.title, meter, data, begun };
    const isField = ([name, one]) =>
      !record.OWN.includes(name) &&
      Array.isArray(one) &&
      typeof one[0] === 'string' &&
      TIME.test(one[1]);
    const fields = new Map(
      Object.entries(typed)
        .filter(isField)
        .map(([name, [value, at]]) => [name, { value, at: at > now ? now : at }]),
    );
    return record.isWhole(kept, fields)
      ? { record: kept, fields }
      : { wrong: 'is no whole record: hand it over again' };
  };

  const lines = (...all) =>
    [...new Set(all.flatMap(one => (one ? one.split('\n') : [])))].join('\n');
  const byTime = (a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0);

  /** The fields of one record from two devices: of each the latest. Of two readings at one try the
   * earlier one stays among those that were changed; no answer “no”, and nothing that closed a
   * group, is lost. */
  record.together = function (data, mine, theirs) {
    const fields = new Map(mine);
    for (const [name, one] of theirs) {
      if (OF_A_TRY.test(name) || name.endsWith('/kept')) continue;
      const own = mine.get(name);
      const later = own && own.at >= one.at ? own : one;
      const both = [own ? String(own.value) : '', String(one.value)];
      if (/^apart\/|\/earlier$/.test(name)) fields.set(name, { ...later, value: lines(...both) });
      else if (name.endsWith('/answers')) {
        const earlier = later === own ? one : own;
        fields.set(name, { ...later, value: withEveryNo(later, earlier) });
      } else fields.set(name, later);
    }
    for (const point of data.points) readings(data, point, mine, theirs, fields);
    return fields;
  };

  const listOf = field => (field && field.value ? JSON.parse(field.value) : []);
  function withEveryNo(later, earlier) {
    const list = listOf(later);
    const lost = listOf(earlier).filter(
      one => one.answer === 'no' && !list.some(other => other.at === one.at),
    );
    return JSON.stringify([...list, ...lost].sort(byTime));
  }

  function readings(data, point, mine, theirs, fields) {
    const name = `point/${point.id}/`;
    const kept = [...record.kept(point, mine)];
    for (const one of record.kept(point, theirs)) {
      const known = kept.findIndex(other => other.n === one.n && other.at === one.at);
      if (known < 0) kept.push(one);
      else if (!kept[known].why) kept[known] = one;
    }
    for (const n of ['1', '2']) {
      const [own, other] = [mine, theirs].map(all =>
        record.tries(data, point, all).find(one => one.n === n && !one.why),
      );
      if (!other) continue;
      const here = mine.get(name + n) || { at: '' }; // emptied, maybe
      const isLater = (own || here).at < other.at;
      const [winner, earlier] = isLater ? [other, own] : [own, other];
      if (isLater)
        for (const part of ['', '/reference', '/after', '/confirmed'])
          if (theirs.has(name + n + part)) fields.set(name + n + part, theirs.get(name + n + part));
      const isSame = winner && earlier && winner.reading === earlier.reading;
      if (!earlier || (isSame && winner.reference === earlier.reference)) continue;
      if (!record.DONE.includes(earlier.result.outcome)) continue;
      const { reading, reference, confirmed, at } = earlier;
      if (!kept.some(one => one.n === n && one.at === at))
        kept.push({ n, reading, reference, confirmed, at, why: '' });
    }
    if (!kept.length) return;
    const at = [mine, theirs].map(all => (all.get(name + 'kept') || { at: '' }).at).sort()[1];
    const last = kept.sort(byTime)[kept.length - 1].at;
    fields.set(name + 'kept', { value: JSON.stringify(kept), at: at || last });
  }

  /** A record as a person tells it from others, with how far it is. */
  record.calledSoFar = ({ record: kept, fields }) =>
    `${record.called(kept, fields)}: ${record.progress(kept.data, fields).words}` +
    (text(fields, 'verdict') ? ` · verdict: ${text(fields, 'verdict')}` : '');
})();
