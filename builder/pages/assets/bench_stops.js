/* The stops of the bench view: what of the page is shown at once, in the order of the work. */
(function () {
  'use strict';
  const { record, sheet } = Bench;
  const view = (Bench.view = {});
  const { groups } = sheet;

  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const boxesIn = stop =>
    stop.here.flatMap(element => all('ul.ticks input[type=checkbox]', element));
  /** The boxes of a stop that a person ticks; the one near zero ticks itself. */
  view.boxes = stop =>
    boxesIn(stop).filter(box => !(stop.live && stop.kind === 'close' && box.disabled));

  const checkRows = new Map(
    all('table.checks tbody tr').map(row => [
      row.querySelector('td.step').firstChild.textContent.trim(),
      row,
    ]),
  );

  /** What stands below a table about one of its rows: its part of the table of millivolts, and
   * its mark. */
  function beside(element, step) {
    const marks = all('.marks p', element).filter(one =>
      one.textContent.startsWith(`Step ${step}:`),
    );
    let mine = false;
    const rows = all('.aside tbody tr', element).filter(row => {
      const name = row.cells[0].textContent.trim();
      if (name) mine = name === step;
      return mine;
    });
    return [...rows, ...marks];
  }

  function ofGroup(group) {
    const { element } = group;
    const { data } = sheet;
    const about = { group, live: Boolean(group.hazard) };
    const find = selector => all(selector, element);
    const stops = [];
    const before = find('.before');
    const at = find('.gate');
    if (before.length)
      stops.push({ ...about, kind: 'setup', here: [...before, ...find('.aside')] });
    for (const point of data.points.filter(one => one.group === group.group)) {
      const row = document.getElementById(point.id);
      const line = row.previousElementSibling;
      if (line && line.matches('.between')) stops.push({ ...about, kind: 'between', here: [line] });
      stops.push({ ...about, kind: 'point', point, here: [row, ...beside(element, point.step)] });
    }
    for (const check of data.checks.filter(one => one.group === group.group))
      if (checkRows.has(check.step))
        stops.push({ ...about, kind: 'check', check, here: [checkRows.get(check.step)] });
    if (find('.after').length) stops.push({ ...about, kind: 'close', here: find('.after') });
    const [first] = stops;
    if (first)
      first.here = [
        ...all(`[data-hold="${group.group}"]`),
        ...find('.who'),
        ...first.here,
      ];
    stops.forEach(stop => {
      stop.gate = stop.here.some(one => at[0] && one.contains(at[0])) ? null : at[0];
    });
    return stops;
  }

  const others = [...all('.others'), ...all('.sheet-head, .blanks:not(.verdict), .rules')];
  view.stops = [
    { kind: 'head', here: [...others, ...all('table.equipment')] },
    ...groups.flatMap(ofGroup),
    { kind: 'end', here: [...all('.blanks.verdict, .hand-over')] },
  ];

  /** The stop at which an element of the page is shown. */
  view.stopOf = element =>
    view.stops.find(stop =>
      [...stop.here, stop.gate].some(one => one && (one === element || one.contains(element))),
    ) || view.stops.find(stop => stop.group && stop.group.element.contains(element));

  view.isOpen = stop => sheet.text('open/' + stop.group.group) !== '';
  view.isClosed = stop => record.ended(sheet.data, stop.group, sheet.fields) !== 'no';
  view.isAtOnce = stop =>
    ['setup', 'between', 'close'].includes(stop.kind) &&
    record.isSetAtOnce(sheet.data, stop.group);
  view.isBarred = stop =>
    Boolean(stop.group) && Bench.gates.stands(sheet, stop.group).barred;

  const UNDONE = {
    head: () => sheet.text('serial') === '',
    setup: stop => (stop.live ? !view.isOpen(stop) : view.boxes(stop).some(box => !box.checked)),
    between: stop => view.boxes(stop).some(box => !box.checked),
    point: stop => !record.outcome(sheet.data, stop.point, sheet.fields),
    check: stop => !record.said(stop.check, sheet.fields),
    close: stop => (stop.live ? !view.isClosed(stop) : view.boxes(stop).some(box => !box.checked)),
    end: () => true,
  };
  view.isUndone = stop => UNDONE[stop.kind](stop);

  /** Where the work goes on: in the live group, or at the first stop that is not done. */
  view.whereItIs = function () {
    const [live] = record.live(sheet.data, sheet.fields);
    return (
      (live && view.stops.find(one => one.group?.group === live.group && view.isUndone(one))) ||
      view.stops.find(view.isUndone)
    );
  };

  /** The stop behind another one: the next that is not done. Where it belongs to another group, how
   * that group is set up comes first, done or not, since something else was set meanwhile. */
  view.behind = function (stop) {
    const next = view.stops.slice(view.stops.indexOf(stop) + 1).find(view.isUndone);
    if (!next || next.group === stop.group || !next.group) return next || stop;
    return view.stops.find(one => one.group === next.group);
  };
})();
