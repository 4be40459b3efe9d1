/* What keeps a report from being made of a record: what the builder refuses in its file, said
 * before it is handed over. Pure functions, as in record.js. */
(function () {
  'use strict';
  const { record, tables } = Bench;
  const { text } = record;
  const { INCOMPLETE, REFUSED } = tables.outcomes;
  const DAY = /^\d{4}-\d{2}-\d{2}$/;
  // files/json_text.py has the same
  const HIDDEN =
    /[\0-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]/u;
  const SHORT = 400;
  const LONG = 4000;
  const TEXTS = {
    serial: ['The serial number', SHORT],
    asset: ['The asset number', SHORT],
    owner: ['The owner', LONG],
    place: ['The place', SHORT],
    ambient: ['The ambient at the start', 60],
    ambient_end: ['The ambient at the end', 60],
    humidity: ['The humidity at the start', 60],
    humidity_end: ['The humidity at the end', 60],
    done_by: ['“Done by”', SHORT],
    reviewed_by: ['“Reviewed by”', SHORT],
    failed: ['“Steps not within”', LONG],
    work_done: ['What was done on the meter', 1000],
    remarks: ['The remarks', LONG],
    next: ['What is next', LONG],
  };

  /** Whether a text is a day of the calendar. */
  record.isDay = function (typed) {
    const day = DAY.test(typed) ? new Date(typed + 'T00:00:00Z') : NaN;
    return !isNaN(day) && day.toISOString().startsWith(typed);
  };
  const isNear = day => day >= '1900' && day < '2200';

  /** Each reason in a sentence, in the order of the sheet. */
  record.refused = (data, fields) => [
    ...texts(fields),
    ...days(data, fields),
    ...data.points.flatMap(point => readings(data, point, fields)),
    ...data.checks.filter(check => record.isContradicted(check, fields)).map(contradicted(fields)),
    ...work(data, fields),
  ];

  function texts(fields) {
    const found = text(fields, 'serial') ? [] : ['The serial number is missing.'];
    for (const [name, [words, most]] of Object.entries(TEXTS)) {
      const typed = text(fields, name);
      if (typed.length > most) found.push(`${words} is longer than ${most} characters.`);
      if (most === SHORT && /^[“”„]|[“”]$/.test(typed))
        found.push(`${words} stands in curly quotation marks: write none.`);
      if (most !== 60 && most !== 1000 && ['…', '...'].includes(typed))
        found.push(`${words} is “${typed}”: write it, or nothing.`);
    }
    const hidden = [...fields].filter(([, one]) => HIDDEN.test(String(one.value)));
    if (hidden.length)
      found.push(`An invisible sign stands in ${hidden.map(where).join(', ')}: type it again.`);
    return found;
  }
  const where = ([name]) => (TEXTS[name] ? TEXTS[name][0] : name.split('/').join(' '));

  function days(data, fields) {
    const say = name => text(fields, name);
    const date = say('date');
    const found = [];
    if (!record.isDay(date) || !isNear(date)) found.push('The date is no day of the calendar.');
    const others = [['received', 'The day on which the meter came']];
    const adjusted = data.verified_against && say('last_adjusted') !== 'unknown';
    if (adjusted) others.push(['last_adjusted', 'The day of the last adjustment']);
    for (const [name, words] of others) {
      const day = say(name);
      if (!day) continue;
      if (!record.isDay(day) || !isNear(day)) found.push(`${words} is no day of the calendar.`);
      else if (record.isDay(date) && day > date) found.push(`${words} is after the work.`);
    }
    return found;
  }

  const readings = (data, point, fields) =>
    record
      .tries(data, point, fields)
      .filter(
        ({ reading, result }) =>
          reading !== '' && (result.outcome === REFUSED || result.outcome === INCOMPLETE),
      )
      .map(({ result }) => `Step ${point.step}: ${result.reason || result.words}.`);

  const contradicted = fields => check =>
    `Step ${check.step} is ticked good, and its number, ` +
    `${text(fields, `check/${check.step}/write`)}, is not what the check asks for: ` +
    'answer “not good”, or mend the number.';

  function work(data, fields) {
    const done = record.workedOn(fields);
    return !done || record.isStep(data, done.step)
      ? []
      : [`The step at which the meter was worked on, “${done.step}”, is not on this sheet.`];
  }
  record.isStep = (data, step) =>
    step === 'end' || [...data.points, ...data.checks].some(one => one.step === step);
})();
