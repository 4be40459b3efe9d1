/* What was practised, remembered on this device and sent nowhere: one call for each answer,
 * `Bench.memory.done({ kind: 'fault', right: false, mistake: 'leads', sure: true, seed: 7 })`.
 *
 * When a kind is due again follows boxes after S. Leitner (So lernt man lernen, 1972; from
 * memory): what is right goes one box on, what is wrong goes back to the first, and a later box
 * waits longer. That each wait is twice the one before is common practice, not his. Ours: a box is
 * left at most once a day and not before it is due, and a right guess stays where it is. */
(function () {
  'use strict';
  const Bench = (window.Bench = window.Bench || {});
  const NAME = 'bench-practice';
  const WAITS = [1, 2, 4, 8, 16]; // days in each box
  const NOT_KEPT =
    'What you practise can’t be remembered on this device (a private window, or a store that ' +
    'is full or switched off).';
  let unkept = []; // what the store did not take, as long as the page is open

  const memory = (Bench.memory = { trouble: '', WAITS });

  const dayOf = time =>
    [time.getFullYear(), time.getMonth() + 1, time.getDate()]
      .map(n => String(n).padStart(2, '0'))
      .join('-');
  /** A day, so many days later: '2026-02-28' and 1 is '2026-03-01'. */
  const later = (day, days) => {
    const [year, month, date] = day.split('-').map(Number);
    return new Date(Date.UTC(year, month - 1, date + days)).toISOString().slice(0, 10);
  };
  memory.today = () => dayOf(new Date());

  /* Throws where the store can't be read: nothing may be written over it then. */
  function kept() {
    const found = JSON.parse(localStorage.getItem(NAME) || '[]');
    return Array.isArray(found) ? found.filter(one => one && one.kind && one.day) : [];
  }

  /** One answer, by its kind and the code of its mistake ('' where none is known), whether it was
   * `sure` or a guess (true if left out), and the seed that its task was made from; more fields are
   * kept as they are. `day` is today, if left out. Returns what is kept. */
  memory.done = function ({ kind, right, mistake = '', sure = true, seed = null, day, ...more }) {
    const now = new Date();
    const one = {
      kind,
      right: Boolean(right),
      mistake: right ? '' : mistake,
      sure,
      seed,
      ...more,
      day: day || dayOf(now),
      at: now.toISOString(),
    };
    try {
      localStorage.setItem(NAME, JSON.stringify([...kept(), ...unkept, one]));
      unkept = [];
      memory.trouble = '';
    } catch (error) {
      unkept.push(one);
      memory.trouble = NOT_KEPT;
    }
    return one;
  };

  /** All answers, the oldest first. */
  memory.all = function () {
    try {
      return [...kept(), ...unkept];
    } catch (error) {
      memory.trouble = NOT_KEPT;
      return [...unkept];
    }
  };

  /** Forgets all of them. */
  memory.forget = function () {
    unkept = [];
    try {
      localStorage.removeItem(NAME);
    } catch (error) {
      memory.trouble = NOT_KEPT;
    }
  };

  /** Of each kind its box (1 to 5), the day on which it is due again, and its counts; the kind that
   * was due first comes first. */
  memory.boxes = function (answers = memory.all()) {
    const kinds = new Map();
    for (const one of answers) {
      if (!kinds.has(one.kind)) kinds.set(one.kind, new Map());
      const days = kinds.get(one.kind);
      days.set(one.day, [...(days.get(one.day) || []), one]);
    }
    return [...kinds].map(([kind, days]) => boxOf(kind, days)).sort(
      (a, b) => (a.due < b.due ? -1 : a.due > b.due ? 1 : 0),
    );
  };

  function boxOf(kind, days) {
    let box = 1;
    let due = '';
    for (const day of [...days.keys()].sort()) {
      const answers = days.get(day);
      const early = due && day < due;
      if (answers.some(one => !one.right)) box = 1;
      else if (early) continue;
      else if (answers.some(one => one.sure)) box = Math.min(box + 1, WAITS.length);
      due = later(day, WAITS[box - 1]);
    }
    const all = [...days.values()].flat();
    const right = all.filter(one => one.right).length;
    const last = [...days.keys()].sort().pop();
    return { kind, box, due, right, wrong: all.length - right, last };
  }

  /** The kinds that are due on a day. */
  memory.due = (day = memory.today(), answers = memory.all()) =>
    memory.boxes(answers).filter(one => one.due <= day);
})();
