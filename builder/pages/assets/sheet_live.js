/* At a sheet: the gates of its groups, and what closes the live ones. */
(function () {
  'use strict';
  const { record, lock, gates, make, sheet } = Bench;

  const row = check =>
    [...document.querySelectorAll('table.checks tbody tr')].find(
      one => one.querySelector('td.step').firstChild.textContent.trim() === check.step,
    );
  sheet.groups.forEach((group, n) => {
    const { element } = group;
    const hold = document.querySelector(`[data-hold="${group.group}"]`);
    if (hold) {
      const [on, stop] = hold.querySelectorAll('input');
      const go = check => row(check) && sheet.focusOn(row(check).querySelector('.answer'));
      hold.append(gates.hold(sheet, group, go));
      on.disabled = stop.disabled = true; // ticked by the answers
      sheet.shown.push(() => {
        const waiting = record.waiting(sheet.data, group, sheet.fields);
        on.checked = !waiting.length && !record.fromPaper(sheet.fields);
        stop.checked = waiting.some(check => record.said(check, sheet.fields) === 'no');
      });
    }
    const held = sheet.groups.slice(0, n + 1).some(one => one.hold);
    if (!group.hazard && !held) return;
    const place = gates.gate(sheet, group, {
      opened: sheet.goOn,
      goToHold(at) {
        const box = document.querySelector(`[data-hold="${at.group}"]`);
        const next = box.querySelector('.waits button');
        if (next) sheet.focusOn(next);
      },
      shut(stands) {
        element.querySelectorAll('input.reads, tr.between input').forEach(field => {
          field.disabled = stands.shut;
        });
        element.querySelectorAll('.before .ticks input').forEach(field => {
          field.disabled = stands.barred;
        });
        element.querySelectorAll('.answer').forEach(button => {
          button.disabled = stands.barred && !button.dataset.holds;
        });
      },
    });
    const before = element.querySelector('.before');
    if (before) (before.querySelector('.steps') || before).append(place);
    else element.prepend(place);
    if (group.hazard) closing(group);
  });

  function closing(group) {
    const after = group.element.querySelector('.after');
    if (!after) return;
    after.id = 'close-' + group.group;
    const item = [...after.querySelectorAll('ul.ticks li')][group.closing.length];
    if (item) {
      const box = item.querySelector('input[type=checkbox]');
      const label = `Group ${group.group}: the meter reads near zero`;
      const { field, more } = gates.nearZero(sheet, group, label);
      item.querySelector('.line').after(field);
      after.append(more);
      box.disabled = true;
      sheet.shown.push(() => {
        box.checked = record.nearZeroSays(sheet.data, group, sheet.fields).closes;
      });
    }
    after.append(gates.otherwise(sheet, group));
  }

  // ---------------------------------------------------------------- finished paper

  const chosen = make(
    'p',
    { class: 'from-paper', hidden: true },
    make('b', {}, 'Typed in from finished paper: no gates, no timers, no lock.'),
    ' The report says so.',
  );
  document.querySelector('.sheet-head').before(chosen);
  sheet.shown.push(() => {
    chosen.hidden = !record.fromPaper(sheet.fields);
    document.body.classList.toggle('from-paper', !chosen.hidden);
  });

  // ---------------------------------------------------------------- other records

  sheet.shown.push(() => lock.own(sheet.kept, sheet.fields));
  lock.onchange(sheet.refresh);
})();
