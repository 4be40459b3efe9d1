/* A record as a file: its content, its name, and how it is handed over. */
(function () {
  'use strict';
  const { rules, record } = Bench;
  const { text } = record;

  const withUnit = (typed, display) => {
    if (typed === '') return null;
    return rules.textOf(rules.flickering(typed, display)) || typed;
  };

  /** Fields that say something of a record on this device alone. */
  record.OWN = ['handed_over', 'deleted'];

  /** Without initials nobody has said that something is not on this meter. */
  const isSaid = one => one.answer !== record.NOT_HERE || one.by;

  /** What a record says of the end of a live group. */
  function ending(data, group, fields) {
    const otherwise = record.otherwise(group, fields);
    return {
      closed: group.hazard ? record.ended(data, group, fields) : null,
      near_zero: record.nearZero(group, fields) || null,
      earlier: record.all(fields, `near_zero/${group.group}/earlier`),
      closed_by: otherwise ? text(fields, `otherwise/${group.group}/by`) : null,
      otherwise: otherwise || null,
    };
  }

  /** The file that is handed over: see procedures/.schema/record.schema.json. */
  record.file = function (kept, fields) {
    const data = kept.data;
    const paper = record.fromPaper(fields);
    const work = record.workedOn(fields);
    const say = name => text(fields, name) || null;
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
      owner: say('owner'),
      asset: say('asset'),
      received: say('received'),
      ...(data.verified_against && { last_adjusted: say('last_adjusted') }),
      ambient: say('ambient'),
      ambient_end: say('ambient_end'),
      humidity: say('humidity'),
      humidity_end: say('humidity_end'),
      done_by: say('done_by'),
      reviewed_by: say('reviewed_by'),
      standards: data.standards.map(one => {
        const certificate = say(`standard/${one.standard}/certificate`) || one.certificate;
        return {
          standard: one.standard,
          name: one.name,
          number: say(`standard/${one.standard}/number`),
          certificate,
          calibrated: (certificate === one.certificate && one.calibrated) || null,
          due: say(`standard/${one.standard}/due`) || one.due,
        };
      }),
      points: data.points.map(point => ({
        id: point.id,
        step: point.step,
        outcome: record.outcome(data, point, fields) || null,
        accept: point.accept,
        readings: record.tries(data, point, fields).map(one => ({
          reading: withUnit(one.reading, rules.display(point)),
          reference:
            one.reference
              .split(';')
              .map(read => withUnit(read.trim(), { unit: point.unit }) ?? '')
              .join('; ') || null,
          at: paper ? null : one.at,
          outcome: record.DONE.includes(one.result.outcome) ? one.result.outcome : null,
          error: one.result.error || null,
          percent_of_tolerance: one.result.percent || null,
          cause: one.cause || null,
          confirmed: one.confirmed,
        })),
        note: say(`point/${point.id}/note`),
        before: record.stepsBefore(point, fields),
      })),
      checks: data.checks.map(check => ({
        step: check.step,
        check: check.check,
        good: ['yes', 'no'].find(one => one === text(fields, 'check/' + check.step)) || null,
        write: say(`check/${check.step}/write`),
        unit: check.unit,
        answers: record.answers(check, fields).filter(isSaid),
      })),
      groups: data.groups.map(group => ({
        group: group.group,
        initials: say(record.initialsName(group)),
        opened: say('open/' + group.group),
        ...ending(data, group, fields),
        other_bench: record.otherBenches(group, fields),
        opening: steps(group.opening, `tick/${group.group}/before/`, `blank/${group.group}/`),
        closing: steps(group.closing, `tick/${group.group}/after/`),
      })),
      from_paper: paper,
      verdict: say('verdict'),
      failed: say('failed'),
      worked_on: work && { [work.step]: work.done || null },
      remarks: say('remarks'),
      next: say('next'),
      begun: kept.begun,
      typed: Object.fromEntries(
        [...fields]
          .filter(([name]) => !record.OWN.includes(name))
          .map(([name, one]) => [name, [String(one.value), one.at]]),
      ),
      judged_by: data,
    };
  };

  /** Whether a record can be shown and handed over. A database outlives pages, and may hold what
   * none of today's wrote. */
  record.isWhole = function (kept, fields) {
    try {
      const data = kept.data;
      const texts = [kept.id, kept.procedure, kept.revision, kept.title, kept.begun];
      const isText = one => typeof one === 'string';
      const isPoint = one => isText(one.id) && one.decimals >= 0 && one.decimals <= 18;
      const isGroup = one =>
        Array.isArray(one.warnings) &&
        Array.isArray(one.jacks) &&
        [...one.opening, ...one.closing].every(isText);
      if (!texts.every(isText) || !data.points.every(isPoint) || !data.groups.every(isGroup))
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

  /** Hands the file over: the system's share sheet where there is one, else a download. Returns
   * what was done, in words, and what the builder will refuse. */
  record.handOver = async function (kept, fields, share) {
    const done = await give(kept, fields, share);
    if (!done) return 'Nothing was handed over.';
    const at = new Date().toISOString();
    fields.set('handed_over', { value: at, at });
    Bench.store.set(kept.id, 'handed_over', at, at);
    const refused = record.refused(kept.data, fields);
    return [done, refused.length && 'No report can be made of it yet:', ...refused]
      .filter(Boolean)
      .join(' ');
  };
  async function give(kept, fields, share) {
    const name = record.fileName(kept, fields);
    const content = JSON.stringify(record.file(kept, fields), null, 1) + '\n';
    const type = 'application/json';
    if (share && navigator.canShare) {
      // Some systems share texts, but no JSON.
      const file = [
        new File([content], name, { type }),
        new File([content], name + '.txt', { type: 'text/plain' }),
      ].find(one => navigator.canShare({ files: [one] }));
      if (file) {
        try {
          await navigator.share({ files: [file], title: name });
          return `${file.name} was handed over.`;
        } catch (error) {
          if (error.name === 'AbortError') return '';
        }
      }
    }
    return download(name, new Blob([content], { type }));
  }
})();
