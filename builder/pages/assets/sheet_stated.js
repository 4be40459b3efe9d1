/* What the record states so far, before it is handed over, and what is wrong with the conditions as
 * soon as they are typed. */
(function () {
  'use strict';
  const { record, make, sheet, statement: statements } = Bench;
  const over = document.querySelector('.hand-over');
  if (!over) return;

  const states = make('p', { class: 'states', role: 'status' });
  const why = make('ul', { class: 'why' });
  over.prepend(states, why);
  // No key waits for this: it follows when the typing rests, and only where it is near.
  let waiting = 0;
  const soon = () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => over.getBoundingClientRect().top < 2 * innerHeight && show(), 250);
  };
  sheet.shown.push(soon);
  addEventListener('scroll', soon, { passive: true });

  function show() {
    const { data, fields } = sheet;
    const stated = record.stated(data, fields),
      { statement } = stated;
    states.replaceChildren('So far the report states: ', make('b', {}, statement), '.');
    const refused = record.refused(data, fields);
    if (refused.length) states.append(' No report can be made of it yet:');
    const lines = [
      ...refused,
      ...(sheet.text('state') ? [] : ['“As found” or “as left” is not ticked.']),
      ...record.lacks(data, fields),
      ...worked(data, fields),
      ...data.standards.map(one => record.standardSays(one, fields)).filter(Boolean),
      ...statements.others(stated),
      ...contradiction(statement),
    ];
    why.replaceChildren(...lines.map(line => make('li', {}, line)));
  }
  states.textContent = 'So far the report states: no statement.';

  /** What work on the meter takes from the state as found. */
  function worked(data, fields) {
    const work = record.workedOn(fields);
    const counts = work && work.step !== 'end' && sheet.text('state') !== 'as left';
    if (!counts || !record.isStep(data, work.step)) return [];
    return [`Worked on at step ${work.step}: from there on nothing counts as found.`];
  }

  function contradiction(statement) {
    const ticked = sheet.text('verdict');
    const { failed, undone } = record.open(sheet.data, sheet.fields);
    const wrong =
      (ticked === 'all within' && (failed.length || undone.length)) ||
      (ticked === 'not completed' && !undone.length) ||
      (ticked !== '' && (ticked === 'not safe to use') !== (statement === 'not safe to use'));
    return wrong ? [`“${ticked}” is ticked, and the readings say otherwise.`] : [];
  }

  /** Beside a field of the head: whether what is typed there is inside its band, or its day has
   * passed. */
  const beside = (field, says) => {
    const place = document.querySelector(`[data-field="${field}"]`);
    if (!place) return;
    const words = make('small', { class: 'outside', role: 'status' });
    place.append(words);
    sheet.shown.push(() => Bench.put(words, { textContent: says(sheet.text(field)) }));
  };
  const { data } = sheet;
  for (const [name, band, unit] of [
    ['ambient', data.holds, data.ambient_unit],
    ['humidity', data.humidity, '%'],
  ])
    for (const field of [name, name + '_end'])
      beside(field, typed =>
        band && typed && record.isInside(typed, band, unit) === false
          ? `Outside ${band}: stop.`
          : '',
      );
  // from the first look on, by today's date, so that no blank grows with the first key
  const day = { value: sheet.localDate(), at: '' };
  const begun = () => (sheet.kept ? sheet.fields : new Map([...sheet.fields, ['date', day]]));
  for (const one of data.standards)
    beside(`standard/${one.standard}/due`, () => record.standardSays(one, begun()));
})();
