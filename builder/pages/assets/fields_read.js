/* Which fields of a record each part of a page reads, so that a key brings up to date only the
 * parts that read what it changed: on a long sheet nearly all of them read something else. */
(function () {
  'use strict';
  const Bench = (window.Bench = window.Bench || {});
  const MANY = 100; // names from which on a function counts as one that reads all
  let reading = null; // the names that the function at hand has read, ALL or null
  const ALL = { has: () => true };

  const note = function (name) {
    if (reading && reading !== ALL && reading.add(name).size > MANY) reading = ALL;
  };
  const noteAll = () => {
    if (reading) reading = ALL;
  };
  /** Fields by their name, as store.js has them, which notice who reads them. */
  class Fields extends Map {
    get(name) {
      note(name);
      return super.get(name);
    }
    has(name) {
      note(name);
      return super.has(name);
    }
    get size() {
      noteAll();
      return super.size;
    }
    keys() {
      noteAll();
      return super.keys();
    }
    values() {
      noteAll();
      return super.values();
    }
    entries() {
      noteAll();
      return super.entries();
    }
    [Symbol.iterator]() {
      return this.entries();
    }
    forEach(...to) {
      noteAll();
      super.forEach(...to);
    }
  }
  Bench.fieldsOf = given => new Fields(given);

  const readBy = new WeakMap();
  const put = new Set(); // off until behind the next frame
  /** Runs those of `shown` that a change of the field `name` concerns; without a name, all. One
   * that read no field at all says something else, and runs each time. While somebody is `typing`,
   * the verdict comes first: what reads some few fields, and does not say itself that it `follows`.
   * The rest comes behind its frame, or with `Bench.catchUp()`. */
  Bench.run = function (shown, name, typing = false) {
    for (const show of shown) {
      const names = readBy.get(show);
      const isMeant = name === undefined || !names || !names.size || names.has(name);
      if (typing && isMeant && names && (!names.size || show.follows)) putOff(show);
      else if (isMeant || (!typing && put.has(show))) run(show, names);
    }
  };
  Bench.catchUp = function () {
    try {
      put.forEach(show => run(show, readBy.get(show)));
    } finally {
      if (put.size) Bench.afterPaint(Bench.catchUp); // behind one that fails
    }
  };
  function putOff(show) {
    if (!put.size) Bench.afterPaint(Bench.catchUp);
    put.add(show);
  }
  function run(show, names) {
    put.delete(show);
    const outside = reading;
    reading = names === ALL ? null : new Set(); // what once read all is asked no more
    try {
      show();
    } finally {
      if (reading) readBy.set(show, reading);
      reading = outside;
    }
  }
})();
