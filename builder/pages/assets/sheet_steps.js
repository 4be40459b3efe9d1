/* The blanks at a sheet's head and end, the steps before and after each group, and the gates of the
 * live ones. */
(function () {
  'use strict';
  const { record, make, sheet } = Bench;
  const { text, set, input, shown } = sheet;
  const words = element => element.textContent.replace(/\s+/g, ' ').trim();

  document.querySelectorAll('[data-field]').forEach(cell => {
    const name = cell.dataset.field;
    const boxes = [...cell.querySelectorAll('input[type=checkbox]')];
    if (boxes.length) return sheet.choice(name, boxes);
    const line = cell.querySelector('.line');
    // no date field: an empty one prints its own form of a date
    const field = input(name, words(cell));
    field.className = line ? 'typed line' : 'typed';
    if (line) line.after(field);
    else cell.append(field);
    cell.addEventListener('click', () => field.focus());
    if (name === 'date') checkDate(cell, field);
  });

  function checkDate(cell, field) {
    const wrong = make(
      'small',
      { class: 'wrong', id: 'wrong-date' },
      'Write it as ' + sheet.localDate(),
    );
    field.setAttribute('aria-describedby', wrong.id);
    cell.append(wrong);
    shown.push(() => {
      const day = text('date');
      const good = day === '' || (/^\d{4}-\d\d-\d\d$/.test(day) && !isNaN(new Date(day)));
      wrong.hidden = good;
      field.setAttribute('aria-invalid', String(!good));
    });
  }

  for (const group of sheet.groups) {
    for (const part of ['before', 'after'])
      group.element
        .querySelectorAll(`.${part} ul.ticks li`)
        .forEach((item, n) => step(group, part, item, n));
    if (!group.hazard) continue;
    const after = group.element.querySelector('.after');
    if (after) after.id = 'close-' + group.group;
    gate(group);
  }

  function step(group, part, item, n) {
    const box = item.querySelector('input[type=checkbox]');
    const line = item.querySelector('.line');
    const tickName = `tick/${group.group}/${part}/${n}`;
    const nearZero = part === 'after' && line; // ticked by what it reads
    if (box && nearZero) {
      box.disabled = true;
      shown.push(() => {
        box.checked = text('near_zero/' + group.group) !== '';
      });
    } else if (box) sheet.tick(tickName, box);
    if (!line) return;
    const name = nearZero ? `near_zero/${group.group}` : `blank/${group.group}/${n}`;
    const field = input(name, words(item), { inputmode: 'decimal' });
    field.className = 'typed line';
    if (!nearZero)
      field.addEventListener('change', () => {
        if (field.value.trim() && !box.checked) set(tickName, 'yes');
      });
    // A field inside a label would tick its box with each touch.
    field.addEventListener('click', event => event.preventDefault());
    line.after(field);
  }

  /** A live group opens once its warning was read, and only when no other one is still live. */
  function gate(group) {
    const button = Bench.button(
      '',
      () => {
        record.begin(group, sheet.fields, set);
        sheet.goOn(button);
      },
      { class: 'open-group' },
    );
    const says = make('p', { class: 'gate' }, button);
    const before = group.element.querySelector('.before');
    (group.element.querySelector('.before > div') || before).append(says);
    shown.push(() => {
      const stands = record.gate(sheet.data, group, sheet.fields);
      button.hidden = stands.hidden;
      button.disabled = stands.disabled;
      button.textContent = stands.button;
      says.classList.toggle('open', stands.opened);
      says.dataset.says = stands.says;
      group.element.querySelectorAll('input.reads').forEach(field => {
        field.disabled = stands.shut;
      });
    });
  }
})();
