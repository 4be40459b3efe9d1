/* Live groups of a record, and the holds before groups: when a group opens, what keeps it shut, and
 * how it ends. Pure functions over a procedure's data and the fields that `store.js` keeps. */
(function () {
  'use strict';
  const Bench = window.Bench;
  const { record, nearZero, rules, tables } = Bench;
  const { from: exact, compare } = rules.exact;
  const { text } = record;
  const NOT_HERE = (record.NOT_HERE = 'not on this meter');

  /** A field that holds several texts, each added behind the others. */
  const all = (record.all = (fields, name) => {
    const kept = text(fields, name);
    return kept ? kept.split('\n') : [];
  });
  const added = (fields, name, one) => [...all(fields, name), one.replace(/\s+/g, ' ')].join('\n');

  /** Typed from finished paper: nothing is opened, closed or waited for, all is judged alike. */
  record.fromPaper = fields => text(fields, 'from_paper') === 'yes';

  /** A group as other records name it. */
  record.groupWords = function (group, kept, fields) {
    const serial = text(fields, 'serial');
    const whose = serial ? 'serial ' + serial : 'no serial yet';
    return `group ${group.group} of ${kept.title}, ${whose}`;
  };

  // ---------------------------------------------------------------- how a live group ends

  /** The reading near zero at `name`, with its unit. */
  const readsAt = (group, fields, name) =>
    nearZero.withUnit(
      text(fields, name),
      text(fields, name + '/unit') || nearZero.unitWithout(group),
    );
  record.nearZero = (group, fields) => readsAt(group, fields, 'near_zero/' + group.group);

  /** What the reading near zero is found to be: {kind, words, closes}; `kind` is 'unseen' where it
   * is near zero and the reading before it did not show the live value. */
  record.nearZeroSays = function (data, group, fields) {
    const typed = record.nearZero(group, fields);
    const kind = nearZero.judge(typed, group);
    if (kind === nearZero.CLOSES && !sawLiveValue(data, group, fields))
      return { kind: 'unseen', words: tables.near_zero.unseen, closes: false };
    return { kind, words: nearZero.says(kind, typed, group), closes: kind === nearZero.CLOSES };
  };
  function sawLiveValue(data, group, fields) {
    const typedLater = record.fromPaper(fields);
    return nearZero.sawLiveValue(
      data.points
        .filter(point => point.group === group.group)
        .flatMap(point =>
          record
            .tries(data, point, fields)
            .filter(one => one.reading !== '')
            .map(one => ({ point, reading: one.reading, at: typedLater ? '' : one.at })),
        ),
      text(fields, 'open/' + group.group),
    );
  }

  /** What is asked of whoever closes a group that no reading of its meter closes. */
  record.OTHERWISE = ['off', 'before', 'after', 'instrument', 'reads', 'by'];
  /** The same as a sentence for the report; "" while something of it is missing. */
  record.otherwise = function (group, fields) {
    const name = `otherwise/${group.group}/`;
    const given = record.OTHERWISE.map(part => text(fields, name + part));
    const reads = readsAt({ near_zero_limit: true }, fields, name + 'reads');
    if (given.some(one => !one) || nearZero.judge(reads, group) !== nearZero.CLOSES) return '';
    return (
      'Source off at its mains switch. Second instrument, proved on a known source before and ' +
      `after: ${text(fields, name + 'instrument')} reads ${reads}`
    );
  };

  /** How a live group ended: 'near zero', 'otherwise' or 'no'. */
  record.ended = function (data, group, fields) {
    if (record.otherwise(group, fields)) return 'otherwise';
    const ticked = group.closing.every(
      (_, n) => text(fields, `tick/${group.group}/after/${n}`) === 'yes',
    );
    if (!ticked) return 'no';
    return !group.near_zero || record.nearZeroSays(data, group, fields).closes ? 'near zero' : 'no';
  };

  /** Live groups that were opened and have not ended. */
  record.live = (data, fields) =>
    record.fromPaper(fields)
      ? []
      : data.groups.filter(
          group =>
            group.hazard &&
            text(fields, 'open/' + group.group) &&
            record.ended(data, group, fields) === 'no',
        );

  // ---------------------------------------------------------------- holds

  /** Whether the number written down at a check is not what the check asks for. */
  record.isOutside = (check, fields) =>
    record.isNotAsked(check, text(fields, `check/${check.step}/write`));
  record.isNotAsked = function (check, write) {
    const { value, reason } = rules.typedNumber(write);
    const beyond = (limit, sign) => limit && compare(value, exact(limit)) * sign > 0;
    return !reason && Boolean(beyond(check.at_least, -1) || beyond(check.at_most, 1));
  };
  /** The last answer at a check; the number decides against a yes. */
  record.said = function (check, fields) {
    return record.isContradicted(check, fields) ? 'no' : text(fields, 'check/' + check.step);
  };
  record.isContradicted = (check, fields) =>
    text(fields, 'check/' + check.step) === 'yes' && record.isOutside(check, fields);

  /** Whether a check is answered so that work goes on: the last answer counts. */
  record.isGood = function (check, fields) {
    const said = record.said(check, fields);
    return (
      said === 'yes' ||
      (said === NOT_HERE && !check.always && text(fields, `check/${check.step}/by`) !== '')
    );
  };

  /** The checks that the hold before a group still waits for. */
  record.waiting = (data, group, fields) =>
    group.hold && !record.fromPaper(fields)
      ? data.checks.filter(
          check => group.hold.checks.includes(check.step) && !record.isGood(check, fields),
        )
      : [];
  /** The first group, up to this one, whose hold still waits; undefined where none does. */
  record.heldAt = (data, group, fields) =>
    data.groups
      .slice(0, data.groups.findIndex(one => one.group === group.group) + 1)
      .find(one => record.waiting(data, one, fields).length);

  /** Whether a hold waits for a check, which therefore can always be answered. */
  record.isHeldFor = (data, check) =>
    data.groups.some(group => group.hold && group.hold.checks.includes(check.step));

  /** Adds an answer behind the earlier ones: none is overwritten. The same one again takes it back,
   * but not a no: that is answered anew, and both stay. */
  record.answer = function (check, answer, fields, set, at = new Date().toISOString()) {
    const name = 'check/' + check.step;
    const before = record.answers(check, fields);
    if (text(fields, name) === answer) {
      if (answer === 'no') return undefined;
      set(name + '/answers', JSON.stringify(before.slice(0, -1)));
      return set(name, '');
    }
    set(name + '/answers', JSON.stringify([...before, { answer, at }]));
    return set(name, answer);
  };
  /** Every answer at a check, the first one first, as a record hands them over. */
  record.answers = function (check, fields) {
    const name = 'check/' + check.step;
    const said = text(fields, name);
    let kept = [];
    try {
      kept = JSON.parse(text(fields, name + '/answers') || '[]');
    } catch (error) {
      /* changed by hand */
    }
    if (!kept.length && said) kept = [{ answer: said, at: fields.get(name).at }];
    const now = part => text(fields, `${name}/${part}`) || null;
    return kept.map((one, n) => {
      const last = n === kept.length - 1 && one.answer === said;
      const by = last ? now('by') : one.by || null;
      return {
        answer: one.answer,
        write: last ? now('write') : one.write || null,
        by: one.answer === NOT_HERE ? by : null,
        at: one.at,
      };
    });
  };

  // ---------------------------------------------------------------- gates

  /** Whether the nth step before a group is ticked, since it was to be opened again. */
  record.isTicked = function (group, n, fields) {
    const one = fields.get(`tick/${group.group}/before/${n}`);
    return Boolean(one && one.value === 'yes' && one.at >= text(fields, 'again/' + group.group));
  };

  /** How a group's gate stands: what keeps it shut, its button, what is said beside it, whether its
   * readings and the steps before it are shut. `elsewhere` are the live groups of other records on
   * this device. One group is live at a time: while two are, as when a closing step is taken back,
   * neither goes on. */
  record.gate = function (data, group, fields, elsewhere = []) {
    if (record.fromPaper(fields))
      return { opened: true, shut: false, barred: false, hidden: true, says: '' };
    const opened = text(fields, 'open/' + group.group) !== '';
    const held = record.heldAt(data, group, fields);
    if (!group.hazard) {
      const shut = Boolean(held);
      return { opened: true, shut, barred: shut, hidden: true, says: '', held };
    }
    const ended = opened ? record.ended(data, group, fields) : 'no';
    const asked = text(fields, 'again/' + group.group);
    const again = ended !== 'no' && asked <= text(fields, 'open/' + group.group);
    const other = record.live(data, fields).find(one => one.group !== group.group);
    const far = elsewhere.find(one => !record.isApart(group, fields, one));
    const barred = Boolean(held || other || far);
    const steps = group.opening.every((_, n) => record.isTicked(group, n, fields));
    return {
      opened,
      again,
      far: far && !other ? far : null,
      held,
      barred,
      shut: !opened || ended !== 'no' || barred,
      hidden: opened && ended === 'no',
      disabled: barred || !(again || steps),
      button: other
        ? `Group ${other.group} is still live: close it first`
        : far
          ? 'Another group is live on this device: close it first'
          : held
            ? 'Shut by a hold'
            : again
              ? 'Open this group again'
              : steps
                ? 'I have read the warning and done these steps: open this group'
                : 'Tick each step above: then this group opens',
      says: !opened
        ? ''
        : ended !== 'no'
          ? tables.near_zero[ended === 'otherwise' ? 'otherwise' : 'closed']
          : 'This group is live until its last steps are done.',
    };
  };

  /** Opens a group, once its steps are ticked; a closed one first asks for all of them again. What
   * closed it before stays among the earlier readings. `set(field, value)` keeps a field. */
  record.begin = function (data, group, fields, set, now = new Date().toISOString()) {
    const { group: g } = group;
    const ended = text(fields, 'open/' + g) ? record.ended(data, group, fields) : 'no';
    if (ended !== 'no' && text(fields, 'again/' + g) <= text(fields, 'open/' + g))
      return set('again/' + g, now);
    const closedBy =
      ended === 'otherwise'
        ? `${record.otherwise(group, fields)}, by ${text(fields, `otherwise/${g}/by`)}`
        : record.nearZero(group, fields);
    if (closedBy) set(`near_zero/${g}/earlier`, added(fields, `near_zero/${g}/earlier`, closedBy));
    for (const name of [
      ...group.closing.map((_, n) => `tick/${g}/after/${n}`),
      ...['near_zero/' + g, `otherwise/${g}/reads`].flatMap(one => [one, one + '/unit']),
      ...record.OTHERWISE.map(part => `otherwise/${g}/${part}`),
    ])
      if (text(fields, name)) set(name, '');
    return set('open/' + g, now);
  };

  // ---------------------------------------------------------------- other benches

  /** Whether a person said, since it was opened, that a live group of another record stands on
   * another bench than this group; either record may have it. */
  const apart = (group, fields, id, other, opened) =>
    all(fields, `apart/${group}/${id}/${other}`).some(one => one.startsWith(opened));
  record.isApart = (group, fields, far) =>
    apart(group.group, fields, far.record, far.group, far.opened) ||
    (far.self &&
      text(fields, 'open/' + group.group) !== '' &&
      apart(far.group, far.fields, far.self, group.group, text(fields, 'open/' + group.group)));

  /** Keeps in both records that a person said so. `setThere` writes into the other one. */
  record.setApart = function (mine, far, set, setThere, now = new Date().toISOString()) {
    const here = `apart/${mine.group}/${far.record}/${far.group}`;
    const there = `apart/${far.group}/${mine.record}/${mine.group}`;
    const said = one => `Said at ${now} to stand on another bench: ${one.words}.`;
    set(here, added(mine.fields, here, `${far.opened} ${said(far)}`));
    setThere(there, added(far.fields, there, `${now} ${said(mine)}`));
  };
  /** The sentences of a record about other benches, for one of its groups. */
  record.otherBenches = (group, fields) =>
    [...fields.keys()]
      .filter(name => name.startsWith(`apart/${group.group}/`))
      .flatMap(name => all(fields, name))
      .map(one => one.slice(one.indexOf(' ') + 1));
})();
