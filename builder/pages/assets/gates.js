/* Gates and closings, for a sheet and for a record that is continued without it. A `form` ties
 * inputs to the fields of a record: {data, fields, kept, text, set, input, shown, refresh, begin};
 * fields and kept are read anew each time, since another record may be gone on with. */
(function () {
  'use strict';
  const { record, nearZero, lock, store, make, button } = Bench;
  const gates = (Bench.gates = {});
  const NO_INTERLOCK = 'The lock knows only what this device was told. The lock is no interlock.';

  const id = form => (form.kept ? form.kept.id : '');
  gates.stands = (form, group) =>
    record.gate(form.data, group, form.fields, lock.elsewhere(id(form)));

  /** A group's gate. `opened` goes on from the button once the group is open; `goToHold` goes to
   * the hold before another group; `shut(stands)` shuts fields and steps. */
  gates.gate = function (form, group, { opened, goToHold, shut }) {
    const open = button('', begin, { class: 'open-group' });
    const hold = button('', () => goToHold(gates.stands(form, group).held), { class: 'link' });
    const held = make('span', { class: 'held' }, 'Shut: ', hold);
    const apart = button('That group stands on another bench', setApart, { class: 'small' });
    const far = make('a', { class: 'live-elsewhere', href: '../in-progress.html' });
    const farther = make('span', { class: 'far', hidden: true }, far, apart);
    const says = make('b', {});
    const rule = make('small', { class: 'rule' }, NO_INTERLOCK);
    const live = group.hazard ? [farther, open, says, rule] : [];
    const place = make('div', { class: 'gate' }, held, ...live);

    async function begin() {
      await lock.refresh(); // what another tab has opened meanwhile
      const stands = gates.stands(form, group);
      if (!stands.disabled && !stands.hidden) {
        const before = form.text('open/' + group.group);
        record.begin(form.data, group, form.fields, form.set);
        if (form.text('open/' + group.group) !== before) opened(open);
      }
      form.refresh();
    }
    async function setApart() {
      const stands = gates.stands(form, group);
      if (!stands.far) return;
      const kept = await form.begin();
      const { fields } = form;
      const words = record.groupWords(group, kept, fields);
      const mine = { record: kept.id, group: group.group, fields, words };
      record.setApart(mine, stands.far, form.set, (name, value) => {
        store.set(stands.far.record, name, value);
      });
      lock.refresh();
    }
    form.shown.push(() => {
      const stands = gates.stands(form, group);
      held.hidden = !stands.held;
      if (stands.held) hold.textContent = `the hold before group ${stands.held.group} waits`;
      farther.hidden = !stands.far;
      if (stands.far) far.textContent = `Live on this device: ${stands.far.words}. Close it first.`;
      open.hidden = stands.hidden;
      open.disabled = Boolean(stands.disabled);
      open.textContent = stands.button || '';
      says.textContent = stands.says;
      place.hidden = !group.hazard && !stands.held;
      shut(stands);
    });
    return place;
  };

  /** What the hold before a group waits for; `go` goes to a check's step. */
  gates.hold = function (form, group, go) {
    const place = make('p', { class: 'waits' });
    form.shown.push(() => {
      const waiting = record.waiting(form.data, group, form.fields);
      place.replaceChildren(
        waiting.length ? 'Not answered good: ' : 'Each answer is good. The work goes on.',
        ...waiting.map(check =>
          button(`step ${check.step}, ${check.check}`, () => go(check), { class: 'link' }),
        ),
      );
    });
    return place;
  };

  /** The field for a reading with its unit, its sign and overload, and what is said of it. */
  function reading(form, name, label) {
    const field = form.input(name, label, { inputmode: 'decimal' });
    field.className = 'typed line';
    field.addEventListener('click', event => event.preventDefault()); // inside a label
    const key = (sign, spoken, change) =>
      button(
        sign,
        () => {
          form.set(name, change(field.value));
          field.focus();
        },
        { class: 'key', 'aria-label': spoken },
      );
    const units = ['mV', 'V'].map(unit => {
      const choose = button(unit, () => form.set(name + '/unit', unit), {
        class: 'key',
        'aria-pressed': 'false',
        'aria-label': `${label}, in ${unit}`,
      });
      form.shown.push(() =>
        choose.setAttribute('aria-pressed', String(form.text(name + '/unit') === unit)),
      );
      return choose;
    });
    const keys = make(
      'span',
      { class: 'keys' },
      key('OL', `${label}, overload`, () => 'OL'),
      ...units,
      key('±', `${label}, change the sign`, typed =>
        /^[-−]/.test(typed) ? typed.slice(1) : '-' + typed,
      ),
    );
    return { field, keys };
  }

  /** The reading near zero: {field, more, box}; `box` is ticked by what is read. */
  gates.nearZero = function (form, group, label) {
    const { field, keys } = reading(form, 'near_zero/' + group.group, label);
    const says = make('output', { class: 'says', 'aria-live': 'assertive' });
    const before = make('small', {});
    const more = make('div', { class: 'near-zero' }, keys, says, before);
    form.shown.push(() => {
      const { kind, words } = record.nearZeroSays(form.data, group, form.fields);
      const alarm = ['live', 'overload', 'no-voltage'].includes(kind);
      says.textContent = words;
      more.classList.toggle('alarm', alarm);
      const earlier = record.all(form.fields, `near_zero/${group.group}/earlier`);
      before.textContent = earlier.length ? `Closed before: ${earlier.join('; ')}.` : '';
    });
    return { field, more };
  };

  const OTHERWISE = {
    off: 'Source: off at its mains switch',
    before: 'Second instrument: read a known source before',
    after: 'Second instrument: read the known source again after',
    instrument: 'Second instrument, name and number',
    reads: 'Second instrument: reads at the leads',
    by: 'Name of who closes the group',
  };
  /** What closes a group that no reading of its own meter closes. */
  gates.otherwise = function (form, group) {
    const name = `otherwise/${group.group}/`;
    const rows = record.OTHERWISE.map(part => {
      if (part === 'reads') {
        const { field, keys } = reading(form, name + part, OTHERWISE[part]);
        return make('div', {}, make('label', {}, OTHERWISE[part], ' ', field), keys);
      }
      if (part === 'instrument' || part === 'by') {
        const field = form.input(name + part, OTHERWISE[part], { class: 'typed' });
        return make('label', {}, OTHERWISE[part], field);
      }
      const box = make('input', { type: 'checkbox' });
      box.addEventListener('change', () => form.set(name + part, box.checked ? 'yes' : ''));
      form.shown.push(() => {
        box.checked = form.text(name + part) === 'yes';
      });
      return make('label', { class: 'ticked' }, box, ' ', OTHERWISE[part]);
    });
    const says = make('b', {});
    form.shown.push(() => {
      const done = record.otherwise(group, form.fields);
      says.textContent = done ? Bench.tables.near_zero.otherwise : '';
    });
    return make(
      'details',
      { class: 'otherwise' },
      make('summary', {}, 'No reading of this meter can close the group'),
      ...rows,
      says,
    );
  };
})();
