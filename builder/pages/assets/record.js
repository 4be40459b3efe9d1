/* A record: what was typed at a sheet, judged by the limits that the record itself carries, and the file that is handed over.
 * Pure functions over a procedure's data and the fields that `store.js` keeps; nothing here touches the page. */
(function () {
  'use strict';
  const Bench = (window.Bench = window.Bench || {});
  const record = (Bench.record = {});

  const text = (fields, name) => {
    const one = fields.get(name);
    return one ? String(one.value).trim() : '';
  };
  record.text = text;

  /** The reading of the leads alone that is taken off a point: its last try. */
  const zeroOf = (point, fields) =>
    text(fields, `point/${point.zero}/2`) || text(fields, `point/${point.zero}/1`);

  const judged = new WeakMap(); // fields → point → what was typed and what it was found to be: most points stay as they are

  /** The tries at one point, first one first: {n, reading, reference, at, result}. A try at which nothing was typed isn't one. */
  record.tries = function (data, point, fields) {
    const subtract = point.zero && point.correction === 'subtract',
      zero = subtract ? zeroOf(point, fields) : '';
    const typed = ['1', '2'].map(n =>
      [`point/${point.id}/${n}`, `point/${point.id}/${n}/reference`].map(name => fields.get(name)),
    );
    if (!judged.has(fields)) judged.set(fields, new Map());
    const known = judged.get(fields),
      key = JSON.stringify([zero, typed]),
      before = known.get(point);
    if (before && before.key === key) return before.tries;
    const zeroPoint = subtract ? data.points.find(one => one.id === point.zero) : undefined;
    const tries = typed
      .map(([own, other], n) => {
        const [reading, reference] = [own, other].map(one => (one ? String(one.value).trim() : ''));
        const result = Bench.rules.verdict(point, reading, { zero, zeroPoint, reference });
        return {
          n: String(n + 1),
          reading,
          reference,
          at: (own || other || { at: null }).at,
          result,
        };
      })
      .filter(one => one.reading !== '' || one.reference !== '');
    known.set(point, { key, tries });
    return tries;
  };

  const DONE = ['pass', 'conditional pass', 'conditional fail', 'fail', 'written down'];
  /** Of several tries the last that says something counts; the others are kept beside it. */
  record.outcome = function (data, point, fields) {
    const said = record
      .tries(data, point, fields)
      .map(one => one.result.outcome)
      .filter(one => DONE.includes(one));
    return said.length ? said[said.length - 1] : '';
  };

  const failed = (record.failed = outcome => outcome === 'fail' || outcome === 'conditional fail');

  const SIGN = {
    pass: '✓',
    fail: '✗',
    'conditional pass': '◐',
    'conditional fail': '◑',
    'written down': '✎',
    refused: '?',
    incomplete: '…',
  };
  const signed = number =>
    number.startsWith('-') ? '−' + number.slice(1) : /[1-9]/.test(number) ? '+' + number : number;

  /** What a try was found to be: its verdict with a sign, and the rest in words. */
  record.says = function ({ outcome, words, counts, percent, reason, note }) {
    return {
      verdict: `${SIGN[outcome]} ${words}`,
      rest:
        reason ||
        [
          counts !== null && `${signed(counts)}\u00a0count${/^-?1$/.test(counts) ? '' : 's'}`,
          percent !== null && `${signed(percent)}\u00a0% of tolerance`,
          note,
        ]
          .filter(Boolean)
          .join(' · '),
    };
  };

  /** How far a record is, as numbers and in words: "23 of 62 · 1 failed · 38 left". */
  record.progress = function (data, fields) {
    const points = data.points.map(point => record.outcome(data, point, fields));
    const checks = data.checks.map(check => text(fields, 'check/' + check.step));
    const of = points.length + checks.length;
    const done = points.filter(Boolean).length + checks.filter(Boolean).length;
    const bad = points.filter(failed).length + checks.filter(one => one === 'no').length;
    return {
      done,
      of,
      failed: bad,
      left: of - done,
      words: `${done} of ${of}` + (bad ? ` · ${bad} failed` : '') + ` · ${of - done} left`,
    };
  };

  /** Steps that failed and steps that were not done, for the box at the end of the sheet. */
  record.open = function (data, fields) {
    const bad = [],
      undone = [];
    for (const point of data.points) {
      const outcome = record.outcome(data, point, fields);
      if (!outcome) undone.push(point.step);
      else if (failed(outcome)) bad.push(point.step);
    }
    for (const check of data.checks) {
      const said = text(fields, 'check/' + check.step);
      if (!said) undone.push(check.step);
      else if (said === 'no') bad.push(check.step);
    }
    const byStep = (a, b) => a.localeCompare(b, 'en', { numeric: true });
    return { failed: bad.sort(byStep), undone: undone.sort(byStep) };
  };

  /** Live groups that were opened and not yet closed by every one of their steps. */
  record.live = function (data, fields) {
    return data.groups.filter(
      group => group.hazard && text(fields, 'open/' + group.group) && !record.closed(group, fields),
    );
  };
  record.closed = function (group, fields) {
    return (
      group.closing.every((_, n) => text(fields, `tick/${group.group}/after/${n}`) === 'yes') &&
      (!group.near_zero || text(fields, 'near_zero/' + group.group) !== '')
    );
  };

  /** How a live group's gate stands: its button, what is said beside it, and whether its fields are shut. One group is live at a time: while two are, as when
   * a closing step is taken back, neither goes on. */
  record.gate = function (data, group, fields) {
    const opened = text(fields, 'open/' + group.group) !== '',
      closed = opened && record.closed(group, fields);
    const other = record.live(data, fields).find(one => one.group !== group.group);
    return {
      opened,
      shut: !opened || closed || Boolean(other),
      hidden: opened && !closed,
      disabled: Boolean(other),
      button: other
        ? `Group ${other.group} is still live: close it first`
        : closed
          ? 'Open this group again'
          : 'I have read the warning and done these steps: open this group',
      says: !opened
        ? ''
        : closed
          ? 'Closed: at zero, standby, seen near zero.'
          : 'This group is live until its last steps are done.',
    };
  };

  /** Opens it: what closed it before is taken back. `set(field, value)` keeps a field. */
  record.begin = function (group, fields, set) {
    for (const name of [
      ...group.closing.map((_, n) => `tick/${group.group}/after/${n}`),
      'near_zero/' + group.group,
    ])
      if (text(fields, name)) set(name, '');
    set('open/' + group.group, new Date().toISOString());
  };

  const withUnit = (typed, display) => {
    if (typed === '') return null;
    const parsed = Bench.rules.parse(typed, display);
    return parsed.text || typed;
  };

  /** The file that is handed over: see builder/schema/record.schema.json. */
  record.file = function (kept, fields) {
    const data = kept.data,
      say = name => text(fields, name) || null;
    const steps = (all, tick, blank) =>
      all.map((step, n) => ({
        step,
        done: text(fields, tick + n) === 'yes',
        write: blank ? say(blank + n) : null,
      }));
    return {
      format: 1,
      record: kept.id,
      procedure: kept.procedure,
      revision: kept.revision,
      meter: kept.meter,
      serial: say('serial'),
      state: say('state'),
      date: say('date'),
      place: say('place'),
      ambient: say('ambient'),
      humidity: say('humidity'),
      done_by: say('done_by'),
      reviewed_by: say('reviewed_by'),
      standards: data.standards.map(one => ({
        standard: one.standard,
        name: one.name,
        number: say(`standard/${one.standard}/number`),
        certificate: say(`standard/${one.standard}/certificate`) || one.certificate,
        due: say(`standard/${one.standard}/due`) || one.due,
      })),
      points: data.points.map(point => ({
        id: point.id,
        step: point.step,
        outcome: record.outcome(data, point, fields) || null,
        accept: point.accept,
        readings: record
          .tries(data, point, fields)
          .map(one => ({
            reading: withUnit(one.reading, Bench.rules.display(point)),
            reference: withUnit(one.reference, { unit: point.unit }),
            at: one.at,
            outcome: DONE.includes(one.result.outcome) ? one.result.outcome : null,
            error: one.result.error || null,
            percent_of_tolerance: one.result.percent || null,
          })),
        note: say(`point/${point.id}/note`),
      })),
      checks: data.checks.map(check => ({
        step: check.step,
        check: check.check,
        good: say('check/' + check.step),
        write: say(`check/${check.step}/write`),
        unit: check.unit,
      })),
      groups: data.groups.map(group => ({
        group: group.group,
        opened: say('open/' + group.group),
        closed: group.hazard ? record.closed(group, fields) : null,
        near_zero: say('near_zero/' + group.group),
        opening: steps(group.opening, `tick/${group.group}/before/`, `blank/${group.group}/`),
        closing: steps(group.closing, `tick/${group.group}/after/`),
      })),
      verdict: say('verdict'),
      failed: say('failed'),
      remarks: say('remarks'),
      next: say('next'),
      begun: kept.begun,
      judged_by: data,
    };
  };

  /** Whether a record can be shown and handed over. A database outlives pages, and may hold what none of today's wrote. */
  record.isWhole = function (kept, fields) {
    try {
      const data = kept.data,
        texts = [kept.id, kept.procedure, kept.revision, kept.title, kept.begun];
      if (
        !texts.every(one => typeof one === 'string') ||
        !data.points.every(
          one => typeof one.id === 'string' && one.decimals >= 0 && one.decimals <= 18,
        )
      )
        return false;
      if (
        !data.groups.every(
          one =>
            Array.isArray(one.warnings) &&
            Array.isArray(one.jacks) &&
            [...one.opening, ...one.closing].every(step => typeof step === 'string'),
        )
      )
        return false;
      return Boolean(record.file(kept, fields) && record.progress(data, fields));
    } catch (error) {
      return false;
    }
  };

  /** A name for the file: procedure, serial, state and date, in plain letters. */
  record.fileName = function (kept, fields) {
    const parts = [
      kept.procedure,
      text(fields, 'serial'),
      text(fields, 'state'),
      text(fields, 'date') || kept.begun.slice(0, 10),
    ];
    return (
      parts
        .filter(Boolean)
        .join('-')
        .toLowerCase()
        .replace(/[^a-z0-9]+/g, '-')
        .replace(/^-|-$/g, '') + '.json'
    );
  };

  function download(name, blob) {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(blob);
    link.download = name;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    return `${name} is in the downloads.`;
  }

  /** What a record that isn't whole still holds, as it lies in the database. */
  record.saveAsFound = (kept, fields) =>
    download(
      'record-as-found.json',
      new Blob([JSON.stringify({ record: kept, fields: [...fields] }, null, 1)], {
        type: 'application/json',
      }),
    );

  /** Hands the file over: the system's share sheet where there is one, else a download. Returns what was done, in words. */
  record.handOver = async function (kept, fields, share) {
    const name = record.fileName(kept, fields);
    const content = JSON.stringify(record.file(kept, fields), null, 1) + '\n',
      blob = new Blob([content], { type: 'application/json' });
    if (share && navigator.canShare) {
      // Some systems share texts, but no JSON.
      const file = [
        new File([content], name, { type: 'application/json' }),
        new File([content], name + '.txt', { type: 'text/plain' }),
      ].find(one => navigator.canShare({ files: [one] }));
      if (file) {
        try {
          await navigator.share({ files: [file], title: name });
          return `${file.name} was handed over.`;
        } catch (error) {
          if (error.name === 'AbortError') return 'Nothing was handed over.';
        }
      }
    }
    return download(name, blob);
  };
})();
