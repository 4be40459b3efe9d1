/* The blanks at a sheet's head and end, and the steps before and after each group. */
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
    sheet.onEnter(field, () => sheet.resume());
    if (['date', 'received', 'last_adjusted'].includes(name)) checkDate(cell, field, name);
  });

  function checkDate(cell, field, name) {
    const wrong = make(
      'small',
      { class: 'wrong', id: 'wrong-' + name },
      `Write it as ${sheet.localDate()}` + (name === 'last_adjusted' ? ', or unknown' : ''),
    );
    field.setAttribute('aria-describedby', wrong.id);
    cell.append(wrong);
    shown.push(() => {
      const day = text(name);
      const good =
        day === '' ||
        (name === 'last_adjusted' && day === 'unknown') ||
        record.isDay(day);
      wrong.hidden = good;
      field.setAttribute('aria-invalid', String(!good));
    });
  }

  for (const group of sheet.groups) {
    group.element.prepend(initials(group));
    const items = part => [...group.element.querySelectorAll(`.${part} ul.ticks li`)];
    items('before').forEach((item, n) => step(group, 'before', item, n));
    group.closing.forEach((_, n) => step(group, 'after', items('after')[n], n));
  }

  /** Shows those typed last until the group has its own. */
  function initials(group) {
    const name = record.initialsName(group);
    const field = make('input', {
      type: 'text',
      class: 'typed',
      autocomplete: 'off',
      spellcheck: 'false',
      maxlength: '12',
      'aria-label': `Group ${group.group}: done by, initials`,
    });
    field.addEventListener('input', () => set(name, field.value));
    shown.push(() => {
      const known = record.initials(sheet.data, group, sheet.fields);
      if (field.value !== known) field.value = known;
    });
    return make('label', { class: 'who' }, 'Initials ', field);
  }

  function step(group, part, item, n) {
    const box = item.querySelector('input[type=checkbox]');
    const line = item.querySelector('.line');
    const tickName = `tick/${group.group}/${part}/${n}`;
    if (part === 'before') {
      box.addEventListener('change', () => set(tickName, box.checked ? 'yes' : ''));
      shown.push(() => {
        box.checked = record.isTicked(group, n, sheet.fields);
      });
    } else sheet.tick(tickName, box);
    if (!line) return;
    const field = input(`blank/${group.group}/${n}`, words(item), { inputmode: 'decimal' });
    field.className = 'typed line';
    field.addEventListener('change', () => {
      if (field.value.trim() && !box.checked) set(tickName, 'yes');
    });
    // A field inside a label would tick its box with each touch.
    field.addEventListener('click', event => event.preventDefault());
    line.after(field);
  }
})();
