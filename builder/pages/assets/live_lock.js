/* One live group a device: those of all records that this device keeps. It knows only what this
 * device was told, and is no interlock. Other pages find a notice in the browser's small store. */
(function () {
  'use strict';
  const { store, record } = Bench;
  const NOTICE = 'bench-live';
  const lock = (Bench.lock = { groups: [] });
  const hearing = [];
  let isRead = false;
  /** Calls `hear` whenever records were read again; soon, where they were read before it asked. */
  lock.onchange = function (hear) {
    hearing.push(hear);
    if (isRead) queueMicrotask(hear);
  };

  /** The live groups of one record, as a gate wants to know them. */
  const liveOf = ({ record: kept, fields }) =>
    record
      .live(kept.data, fields)
      .map(group => ({
        record: kept.id,
        group: group.group,
        opened: record.text(fields, 'open/' + group.group),
        words: record.groupWords(group, kept, fields),
        fields,
      }));

  /** Reads all records again. */
  lock.refresh = async function () {
    const all = (await store.list()).filter(one => record.isWhole(one.record, one.fields));
    lock.groups = all.flatMap(liveOf);
    note();
    isRead = true;
    hearing.forEach(hear => hear());
  };
  /** Those of other records than the one that is being written. */
  lock.elsewhere = id =>
    lock.groups.filter(one => one.record !== id).map(one => ({ ...one, self: id }));
  /** The record that is being written has changed on this page. */
  lock.own = function (kept, fields) {
    if (!kept) return;
    lock.groups = [
      ...lock.groups.filter(one => one.record !== kept.id),
      ...liveOf({ record: kept, fields }),
    ];
    note();
  };

  let noted = null;
  function note() {
    const words = JSON.stringify(lock.groups.map(one => one.words));
    if (words === noted) return;
    noted = words;
    try {
      if (lock.groups.length) localStorage.setItem(NOTICE, words);
      else localStorage.removeItem(NOTICE);
    } catch (error) {
      /* a private window */
    }
  }

  let soon = 0;
  store.onchange(() => {
    clearTimeout(soon);
    soon = setTimeout(lock.refresh, 200);
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') lock.refresh();
  });
  lock.refresh();
})();
