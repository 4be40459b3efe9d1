/* The lines between two rows: their ticks, and the step that is missing where a reading was typed
 * without them. */
(function () {
  'use strict';
  const { record, make, sheet } = Bench;

  document.querySelectorAll('tr.between').forEach(line => {
    const point = sheet.points.get(line.nextElementSibling.id);
    const missing = make('p', { class: 'missing', role: 'status', hidden: true });
    line.querySelectorAll('input').forEach((box, n) => {
      sheet.tick(record.tickBefore(point, n), box);
    });
    line.firstElementChild.append(missing);
    sheet.shown.push(() => {
      const [first] = record.unticked(sheet.data, point, sheet.fields);
      missing.hidden = first === undefined;
      missing.textContent = first === undefined ? '' : `Read without this step: “${first}”`;
    });
  });
})();
