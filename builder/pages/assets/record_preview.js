/* What the report of a record would say so far, made on this device: the statement, what failed,
 * then every reading and check. It is no report, and says so. */
(function () {
  'use strict';
  const { rules, record, statement, make, button } = Bench;

  /** Puts the preview of a record, as `store.get` has it, into `place`. */
  record.preview = function ({ record: kept, fields }, place) {
    const { data } = kept;
    const stated = record.stated(data, fields);
    const refused = record.refused(data, fields);
    const say = name => record.text(fields, name);
    const failing = data.points.filter(point =>
      record.failed(record.outcome(data, point, fields)),
    );
    const noes = data.checks.filter(check => record.said(check, fields) === 'no');
    const head = [
      `Serial no. ${say('serial') || '(missing)'}`,
      say('state') || 'no state',
      say('date'),
      say('place'),
      say('done_by') && `done by ${say('done_by')}`,
      record.progress(data, fields).words,
    ];
    place.append(
      make('p', { class: 'actions' }, make('a', { class: 'all', href: '#' }, '‹ All in progress')),
      make('h2', {}, `Preview: ${kept.title}`),
      make(
        'p',
        { class: 'trouble' },
        'This is no report. It shows what was typed so far, as this device judges it. ',
        'The builder makes the report.',
      ),
      make('p', {}, head.filter(Boolean).join(' · ')),
      make('p', { class: 'stated' }, 'States so far: ', make('b', {}, stated.statement), '.'),
      list([
        ...refused.map(words => `No report yet: ${words}`),
        ...record.lacks(data, fields),
        ...data.standards.map(one => record.standardSays(one, fields)).filter(Boolean),
        ...statement.others(stated),
      ]),
      ...part('Not within, not good', [
        ...noes.map(check => checked(check, fields)),
        ...failing.map(point => read(data, point, fields)),
      ]),
      ...part('Checks', data.checks.map(check => checked(check, fields))),
      ...data.groups.flatMap(group =>
        part(
          `${group.group} ${group.title}`,
          data.points
            .filter(point => point.group === group.group)
            .map(point => read(data, point, fields)),
        ),
      ),
      make('p', { class: 'actions' }, button('Print', () => window.print(), { class: 'small' })),
    );
  };

  const list = lines => make('ul', { class: 'preview' }, ...lines.map(one => make('li', {}, one)));
  const part = (title, lines) => (lines.length ? [make('h3', {}, title), list(lines)] : []);

  function checked(check, fields) {
    const answers = record.answers(check, fields).map(one => one.answer);
    const said = record.said(check, fields);
    const write = record.text(fields, `check/${check.step}/write`);
    const unit = check.unit ? ' ' + rules.pretty('0 ' + check.unit).slice(2) : '';
    return [
      `${check.step} ${check.check}: ${answers.join(', then ') || 'not done'}`,
      write && write + unit,
      said !== answers[answers.length - 1] && said && `counts as ${said}`,
    ]
      .filter(Boolean)
      .join(' · ');
  }

  /** A point with its limits, every reading with what became of it, and the outcome. */
  function read(data, point, fields) {
    const tries = record.tries(data, point, fields);
    const counted = record.worst(tries);
    const limits = point.accept
      ? `${rules.pretty(point.accept.low)} to ${rules.pretty(point.accept.high)}`
      : point.observe;
    const readings = tries.map(
      one =>
        (one.reading || 'no reading') +
        (one.reference ? ` (reference ${one.reference})` : '') +
        (one.cause ? ` (void, ${one.cause})` : ''),
    );
    const says = counted ? record.says(counted.result) : null;
    return [
      `${point.step} ${point.function}, ${rules.pretty(point.apply)}`,
      limits,
      readings.length ? `read ${readings.join(', then ')}` : 'not done',
      says && `${says.verdict}${says.rest ? ', ' + says.rest : ''}`,
    ]
      .filter(Boolean)
      .join(' · ');
  }
})();
