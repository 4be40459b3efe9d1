/* Below the verdict: what is still open, the notes for paper, and handing the record over. */
(function () {
  'use strict';
  const { record, make, put, button, sheet } = Bench;

  const said = make('p', { class: 'handed', role: 'status' });
  const handOver = async share => {
    await sheet.begin();
    said.textContent = await record.handOver(sheet.kept, sheet.fields, share);
  };
  const preview = make('a', { class: 'all' }, 'Preview the report');
  sheet.shown.push(() => {
    preview.style.visibility = sheet.kept ? '' : 'hidden'; // its room is there from the start
    if (sheet.kept) preview.href = `../in-progress.html#preview=${sheet.kept.id}`;
  });
  const listOpen = make('p', { class: 'list-open' });
  const over = make(
    'div',
    { class: 'hand-over' },
    listOpen,
    button('Save the record as a file', () => handOver(false)),
    navigator.canShare ? button('Share the record', () => handOver(true)) : '',
    button('Print with these readings', () => window.print()),
    preview,
    said,
  );
  // for paper, where notes have no place at their points
  const noted = make('p', { class: 'noted' });
  const verdict = document.querySelector('.blanks.verdict');
  if (verdict) verdict.after(over, noted);

  sheet.shown.push(() => {
    const { data, fields } = sheet;
    const changed = point =>
      record
        .changedAt(data, point, fields)
        .map(one => `${one.reading} at ${one.time}${one.words && ', ' + one.words}`);
    const notes = data.points.flatMap(point =>
      [sheet.text(`point/${point.id}/note`), ...changed(point)]
        .filter(Boolean)
        .map(note => `${point.step}: ${note}`),
    );
    const textContent = notes.length ? 'Notes at ' + notes.join('; ') : '';
    put(noted, { textContent, hidden: !notes.length });
  });
  sheet.shown.push(() => {
    const { failed, undone } = record.open(sheet.data, sheet.fields);
    const steps = undone.length > 12 ? undone.length + ' steps' : 'steps ' + undone.join(', ');
    const textContent =
      (failed.length ? `Not within: steps ${failed.join(', ')}. ` : '') +
      (undone.length ? `Not done: ${steps}.` : 'All steps are done.');
    put(listOpen, { textContent });
  });
})();
