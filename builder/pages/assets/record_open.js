/* Which record a sheet goes on with, what one takes over from another, and what its head still
 * lacks. Pure functions, as in record.js. */
(function () {
  'use strict';
  const { record } = Bench;
  const { text } = record;
  const plain = serial => serial.toLowerCase().replace(/\s+/g, '');

  /** Which of the records that a device keeps a sheet goes on with: {found}, or {ask} where a
   * person has to say which of several, and in any case `older`, those in work under another
   * revision. `all` is as `store.list` has it, `wanted` the id that the address or the tab names,
   * `serial` the one that the address names. */
  record.whichOpen = function (all, { procedure, revision, wanted, serial }) {
    const own = all.filter(one => one.record.procedure === procedure);
    const open = own.filter(one => !text(one.fields, 'verdict'));
    const older = open.filter(one => one.record.revision !== revision);
    const here = own.filter(one => one.record.revision === revision);
    const named = own.find(one => one.record.id === wanted);
    if (named) {
      const isHere = here.includes(named);
      return { found: isHere ? named : null, ask: [], older: isHere ? older : [named] };
    }
    const fits = here.filter(
      one =>
        open.includes(one) && (!serial || plain(text(one.fields, 'serial')) === plain(serial)),
    );
    return fits.length > 1
      ? { found: null, ask: fits, older }
      : { found: fits[0] || null, ask: [], older };
  };

  /** A record as a person tells it from others: its serial number, how far it is, its day. */
  record.called = function (kept, fields) {
    const serial = text(fields, 'serial');
    return `${serial ? 'serial ' + serial : 'no serial yet'}, ${kept.begun.slice(0, 10)}`;
  };

  /** What the head of a record still lacks, in the order of the sheet: {field, words}. */
  record.headLacks = (data, fields) =>
    [
      ['serial', 'the serial number'],
      ['date', 'the date'],
      ['state', '“as found” or “as left”'],
      ...(data.verified_against ? [['last_adjusted', 'the day of the last adjustment']] : []),
      ...(data.holds ? [['ambient', 'the ambient at the start']] : []),
      ...(data.humidity ? [['humidity', 'the humidity at the start']] : []),
      ['done_by', 'who does the work'],
    ]
      .filter(([field]) => !text(fields, field))
      .map(([field, words]) => ({ field, words }));

  /** What the record of the next meter at the same bench begins with: [name, value] of each field.
   * What was read last of the ambient and the humidity is nearest. */
  record.forTheNext = function (data, fields, today) {
    const say = name => text(fields, name);
    return [
      ['date', record.fromPaper(fields) ? say('date') : today],
      ['place', say('place')],
      ['ambient', say('ambient_end') || say('ambient')],
      ['humidity', say('humidity_end') || say('humidity')],
      ['done_by', say('done_by')],
      ['reviewed_by', say('reviewed_by')],
      ...data.standards.flatMap(one =>
        ['number', 'certificate', 'due'].map(part => {
          const name = `standard/${one.standard}/${part}`;
          return [name, say(name)];
        }),
      ),
    ].filter(([, value]) => value);
  };

  /** When a record was handed over last, and whether something was typed since: {at, since}, or
   * null where it never was. */
  record.handedOver = function (fields) {
    const at = text(fields, 'handed_over');
    const since = [...fields].some(
      ([name, one]) => !record.OWN.includes(name) && one.at > at,
    );
    return at ? { at, since } : null;
  };
})();
