/* Where readings are kept: on this device, in the browser's own database, each keystroke as an entry of its own.
 *
 * A record has a head that never changes (which procedure, which revision, its data) and entries, one a field, each with
 * the time at which it was typed. Two tabs of one record therefore never overwrite each other's fields. Where the
 * database can't be had (a private window, a full or forbidden store), the entries live as long as the page does, and
 * `Bench.store.trouble` says so in words; nothing is lost silently.
 */
(function () {
  "use strict";
  const Bench = (window.Bench = window.Bench || {});
  const NAME = "bench-records", VERSION = 1;
  const NOT_KEPT = "Readings can't be kept on this device (a private window, or a store that is full or switched off). Hand the record over before you close this page.";
  const memory = { records: new Map(), entries: new Map() };
  const listeners = [], troubled = [];
  const channel = window.BroadcastChannel ? new BroadcastChannel(NAME) : null;
  let opening = null;

  const store = (Bench.store = { trouble: "" });

  function trouble(words) {
    if (store.trouble === words) return;
    store.trouble = words;
    troubled.forEach((tell) => tell(words));
  }

  function open() {
    if (opening) return opening;
    opening = new Promise((resolve) => {
      let request;
      try { request = indexedDB.open(NAME, VERSION); } catch (error) { trouble(NOT_KEPT); return resolve(null); }
      request.onupgradeneeded = () => {
        request.result.createObjectStore("records", { keyPath: "id" });
        request.result.createObjectStore("entries", { keyPath: ["record", "field"] }).createIndex("record", "record");
      };
      request.onsuccess = () => {
        const db = request.result;
        db.onversionchange = () => { db.close(); opening = null; };
        db.onclose = () => { opening = null; };
        resolve(db);
      };
      request.onerror = () => { trouble(NOT_KEPT); resolve(null); };
      request.onblocked = () => { trouble(NOT_KEPT); resolve(null); };
    });
    return opening;
  }

  // What `work` asks of the stores, on the disk before it is done ("strict": a dead battery loses nothing).
  async function transact(mode, names, work) {
    const db = await open();
    if (!db) return undefined;
    return new Promise((resolve, reject) => {
      let transaction, result;
      try { transaction = db.transaction(names, mode, { durability: "strict" }); } catch (error) { return reject(error); }
      transaction.oncomplete = () => resolve(result && "result" in result ? result.result : undefined);
      transaction.onerror = transaction.onabort = () => reject(transaction.error);
      result = work(...names.map((name) => transaction.objectStore(name)));
    });
  }

  // Kept in the memory of the page too, so that it goes on when the store doesn't.
  async function write(names, work) {
    try {
      await transact("readwrite", names, work);
      if (await open()) trouble("");
    } catch (error) { trouble(NOT_KEPT); }
  }

  async function read(names, work, otherwise) {
    try {
      if (await open()) return await transact("readonly", names, work);
    } catch (error) { trouble(NOT_KEPT); }
    return otherwise();
  }

  const keyOf = (entry) => entry.record + "\n" + entry.field;
  const newest = (entries) => {
    const found = new Map();
    for (const one of entries) if (!found.has(keyOf(one)) || found.get(keyOf(one)).at < one.at) found.set(keyOf(one), one);
    return [...found.values()];
  };

  /** A new record; `head` is {procedure, revision, title, meter, page, data}. Returns it with its id. */
  store.create = async function (head) {
    const begun = new Date().toISOString();
    const chance = [...crypto.getRandomValues(new Uint8Array(4))].map((n) => n.toString(16).padStart(2, "0")).join("");
    const record = { ...head, id: begun.slice(0, 10) + "-" + chance, begun };
    memory.records.set(record.id, record);
    await write(["records"], (records) => records.put(record));
    tell({ record: record.id });
    return record;
  };

  /** One field of a record as it is typed. Undefined deletes nothing: an empty text is a value too. */
  store.set = function (record, field, value) {
    const entry = { record, field, value, at: new Date().toISOString() };
    memory.entries.set(keyOf(entry), entry);
    tell(entry);
    return write(["entries"], (entries) => entries.put(entry));
  };

  /** {record, fields: Map of field → {value, at}} or null. */
  store.get = async function (id) {
    const record = (await read(["records"], (records) => records.get(id), () => undefined)) || memory.records.get(id);
    if (!record) return null;
    const kept = (await read(["entries"], (entries) => entries.index("record").getAll(id), () => [])) || [];
    const entries = newest([...kept, ...[...memory.entries.values()].filter((one) => one.record === id)]);
    return { record, fields: new Map(entries.map((one) => [one.field, { value: one.value, at: one.at }])) };
  };

  /** All records with their fields, the one touched last first. */
  store.list = async function () {
    const kept = (await read(["records"], (records) => records.getAll(), () => [])) || [];
    const all = new Map([...kept, ...memory.records.values()].map((one) => [one.id, one]));
    const found = await Promise.all([...all.keys()].map(store.get));
    const touched = (one) => [...one.fields.values()].reduce((last, field) => (field.at > last ? field.at : last), one.record.begun);
    return found.filter(Boolean).map((one) => ({ ...one, touched: touched(one) })).sort((a, b) => (a.touched < b.touched ? 1 : -1));
  };

  store.remove = async function (id) {
    memory.records.delete(id);
    for (const [key, entry] of memory.entries) if (entry.record === id) memory.entries.delete(key);
    await write(["records", "entries"], (records, entries) => {
      records.delete(id);
      entries.index("record").openKeyCursor(IDBKeyRange.only(id)).onsuccess = (event) => {
        const cursor = event.target.result;
        if (cursor) { entries.delete(cursor.primaryKey); cursor.continue(); }
      };
    });
    tell({ record: id, removed: true });
  };

  /** `hear(change)` for what another tab writes; `hear` gets {record, field, value, at}, {record} or {record, removed}. */
  store.onchange = (hear) => listeners.push(hear);
  store.ontrouble = (hear) => { troubled.push(hear); if (store.trouble) hear(store.trouble); };

  function tell(change) { if (channel) try { channel.postMessage(change); } catch (error) { /* the channel is a convenience */ } }
  if (channel) channel.onmessage = (event) => {
    const change = event.data;
    if (change.removed) {
      memory.records.delete(change.record);
      for (const [key, entry] of memory.entries) if (entry.record === change.record) memory.entries.delete(key);
    } else if (change.field) memory.entries.set(keyOf(change), change);
    listeners.forEach((hear) => hear(change));
  };

  // Asks the browser not to throw the records away when space gets short.
  if (navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => {});
})();
