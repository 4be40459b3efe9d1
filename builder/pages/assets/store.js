/* Where readings are kept: on this device, in the browser's own database, each keystroke as an
 * entry of its own.
 *
 * A record has a head that never changes (which procedure, which revision, its data) and entries,
 * one a field, each with the time at which it was typed. Two tabs of one record therefore never
 * overwrite each other's fields. Where the database can't be had (a private window, a full or
 * forbidden store), the entries live as long as the page does, and `Bench.store.trouble` says so in
 * words; nothing is lost silently. */
(function () {
  'use strict';
  const Bench = (window.Bench = window.Bench || {});
  const NAME = 'bench-records';
  const VERSION = 1;
  const NOT_KEPT =
    "Readings can't be kept on this device (a private window, or a store that is full or " +
    'switched off). Hand the record over before you close this page.';
  const PATIENCE = 3000; // how long a database may be silent
  const AGAIN = 5000; // until the next try after a failure
  const memory = { records: new Map(), entries: new Map() };
  // what isn't on the disk yet
  const unkept = { records: new Map(), entries: new Map() };
  const listeners = [];
  const troubled = [];
  const channel = window.BroadcastChannel ? new BroadcastChannel(NAME) : null;
  let opening = null;

  const store = (Bench.store = { trouble: '' });

  function trouble(words) {
    if (store.trouble === words) return;
    store.trouble = words;
    troubled.forEach(tell => tell(words));
  }

  function open() {
    if (opening) return opening;
    opening = new Promise(resolve => {
      const refused = () => {
        opening = null;
        trouble(NOT_KEPT);
        resolve(null);
      };
      const silent = setTimeout(refused, PATIENCE);
      let request;
      try {
        request = indexedDB.open(NAME, VERSION);
      } catch (error) {
        clearTimeout(silent);
        setTimeout(refused);
        return;
      }
      request.onupgradeneeded = () => {
        request.result.createObjectStore('records', { keyPath: 'id' });
        request.result
          .createObjectStore('entries', { keyPath: ['record', 'field'] })
          .createIndex('record', 'record');
      };
      request.onsuccess = () => {
        clearTimeout(silent);
        const db = request.result;
        db.onversionchange = () => {
          db.close();
          opening = null;
        };
        db.onclose = () => {
          opening = null;
        };
        resolve(db);
      };
      request.onerror = () => {
        clearTimeout(silent);
        refused();
      };
    });
    return opening;
  }

  // What `work` asks of the stores, on the disk before it is done ("strict": a dead battery loses
  // nothing).
  async function transact(mode, names, work) {
    const db = await open();
    if (!db) throw new Error('no database');
    return new Promise((resolve, reject) => {
      let transaction, result;
      try {
        transaction = db.transaction(names, mode, { durability: 'strict' });
      } catch (error) {
        opening = null;
        return reject(error);
      }
      transaction.oncomplete = () =>
        resolve(result && 'result' in result ? result.result : undefined);
      transaction.onerror = transaction.onabort = () => reject(transaction.error);
      result = work(...names.map(name => transaction.objectStore(name)));
    });
  }

  /* Writes all that isn't on the disk yet: what failed before goes again with the next key, or
   * after a while. A record goes before its entries, since without its head they would never be
   * found. */
  let again = 0;
  async function flush() {
    const records = [...unkept.records];
    const entries = [...unkept.entries];
    if (!records.length && !entries.length) return;
    try {
      await transact('readwrite', ['records', 'entries'], (heads, fields) => {
        for (const [, one] of records) heads.put(one);
        for (const [, one] of entries) fields.put(one);
        // without waiting for what a page that closes won't hear
        if (heads.transaction.commit) heads.transaction.commit();
      });
      for (const [key, one] of records)
        if (unkept.records.get(key) === one) unkept.records.delete(key);
      for (const [key, one] of entries)
        if (unkept.entries.get(key) === one) unkept.entries.delete(key);
      trouble('');
    } catch (error) {
      trouble(NOT_KEPT);
      clearTimeout(again);
      again = setTimeout(flush, AGAIN);
    }
  }

  async function read(names, work, otherwise) {
    try {
      return await transact('readonly', names, work);
    } catch (error) {
      trouble(NOT_KEPT);
    }
    return otherwise();
  }

  const keyOf = entry => entry.record + '\n' + entry.field;
  const newest = entries => {
    const found = new Map();
    for (const one of entries)
      if (!found.has(keyOf(one)) || found.get(keyOf(one)).at <= one.at) found.set(keyOf(one), one);
    return [...found.values()];
  };

  /** A new record; `head` is {procedure, revision, title, meter, page, data}. Returns it with its
   * id. */
  store.create = async function (head) {
    const begun = new Date().toISOString();
    const chance = [...crypto.getRandomValues(new Uint8Array(4))]
      .map(n => n.toString(16).padStart(2, '0'))
      .join('');
    return store.put({ ...head, id: begun.slice(0, 10) + '-' + chance, begun }, new Map());
  };

  /** A record with its id and fields, as another device has them. */
  store.put = function (record, fields) {
    memory.records.set(record.id, record);
    unkept.records.set(record.id, record);
    // Asks the browser not to throw the records away when space gets short.
    if (navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => {});
    tell({ record: record.id });
    for (const [field, { value, at }] of fields) store.set(record.id, field, value, at);
    flush();
    return record;
  };

  /** One field of a record as it is typed, on the disk once the promise is kept: no verdict waits
   * for the disk or for other tabs. Undefined deletes nothing: an empty text is a value too. */
  store.set = function (record, field, value, at = new Date().toISOString()) {
    const entry = { record, field, value, at };
    memory.entries.set(keyOf(entry), entry);
    unkept.entries.set(keyOf(entry), entry);
    Bench.afterPaint(() => tell(entry));
    next = next || new Promise(done => Bench.afterPaint(() => done(flushNext())));
    return next;
  };
  let next = null; // what writes all that is set until the next frame
  function flushNext() {
    next = null;
    return flush();
  }

  /** {record, fields: Map of field → {value, at}} or null. */
  store.get = async function (id) {
    const record =
      (await read(
        ['records'],
        records => records.get(id),
        () => undefined,
      )) || memory.records.get(id);
    if (!record) return null;
    const kept =
      (await read(
        ['entries'],
        entries => entries.index('record').getAll(id),
        () => [],
      )) || [];
    const entries = newest([
      ...kept,
      ...[...memory.entries.values()].filter(one => one.record === id),
    ]);
    return {
      record,
      fields: new Map(entries.map(one => [one.field, { value: one.value, at: one.at }])),
    };
  };

  /** All records with their fields, the one touched last first; `deleted` ones apart, until they
   * are removed. */
  store.list = async function ({ deleted = false } = {}) {
    const kept =
      (await read(
        ['records'],
        records => records.getAll(),
        () => [],
      )) || [];
    const all = new Map([...kept, ...memory.records.values()].map(one => [one.id, one]));
    const found = await Promise.all([...all.keys()].map(store.get));
    const touched = one =>
      [...one.fields.values()].reduce(
        (last, field) => (field.at > last ? field.at : last),
        one.record.begun,
      );
    return found
      .filter(one => one && isDeleted(one.fields) === deleted)
      .map(one => ({ ...one, touched: touched(one) }))
      .sort((a, b) => (a.touched < b.touched ? 1 : -1));
  };

  const isDeleted = fields => (fields.get('deleted') || {}).value === 'yes';

  function forget(id) {
    for (const part of [memory, unkept]) {
      part.records.delete(id);
      for (const [key, entry] of part.entries) if (entry.record === id) part.entries.delete(key);
    }
  }

  store.remove = async function (id) {
    forget(id);
    await transact('readwrite', ['records', 'entries'], (records, entries) => {
      records.delete(id);
      entries.index('record').openKeyCursor(IDBKeyRange.only(id)).onsuccess = event => {
        const cursor = event.target.result;
        if (cursor) {
          entries.delete(cursor.primaryKey);
          cursor.continue();
        }
      };
    }).catch(() => trouble(NOT_KEPT));
    tell({ record: id, removed: true });
  };

  /** `hear(change)` for what another tab writes; `hear` gets {record, field, value, at}, {record}
   * or {record, removed}. */
  store.onchange = hear => listeners.push(hear);
  store.ontrouble = hear => {
    troubled.push(hear);
    if (store.trouble) hear(store.trouble);
  };

  function tell(change) {
    if (channel)
      try {
        channel.postMessage(change);
      } catch (error) {
        /* the channel is a convenience */
      }
  }
  if (channel)
    channel.onmessage = event => {
      const change = event.data;
      if (change.removed) forget(change.record);
      else if (change.field) {
        memory.entries.set(keyOf(change), change);
        unkept.entries.delete(keyOf(change)); // theirs is newer
      }
      listeners.forEach(hear => hear(change));
    };

  // A page whose readings are nowhere else isn't closed by mistake.
  window.addEventListener('beforeunload', event => {
    if (store.trouble && (unkept.records.size || unkept.entries.size)) event.preventDefault();
  });
})();
