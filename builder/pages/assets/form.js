/* A record of another revision as a form, from nothing but the limits and texts that it carries. */
(function () {
  'use strict';
  const { store, record, lock, make, button, formRows: rows } = Bench;

  /** Fills `place` with the form of a record as `store.get` has it; `said` is where handing over
   * says what was done. Returns what brings the form up to date with a change by another page. */
  Bench.form = function (found, place, said) {
    const form = formOf(found);
    const { kept, data, fields } = form;
    place.append(...head(form));
    for (const group of data.groups) place.append(...lines(form, group));
    place.append(...end(form, said));
    form.refresh();
    lock.onchange(form.refresh);
    return change => {
      if (change.record !== kept.id || !change.field) return;
      fields.set(change.field, { value: change.value, at: change.at });
      form.refresh();
    };
  };

  /** The record with what ties inputs to its fields. */
  function formOf({ record: kept, fields }) {
    const shown = []; // functions that bring one part of the form up to date
    const text = name => record.text(fields, name);
    const refresh = () => {
      lock.own(kept, fields);
      shown.forEach(show => show());
    };
    const set = (name, value) => {
      const first = record.setFirst(kept.data, name, value, fields);
      fields.set(name, { value, at: new Date().toISOString() });
      for (const one of first) set(...one);
      refresh();
      return store.set(kept.id, name, value);
    };
    const input = (name, label, more) => {
      const field = make('input', {
        type: 'text',
        class: 'typed',
        autocomplete: 'off',
        autocapitalize: 'off',
        spellcheck: 'false',
        'aria-label': label,
        ...more,
      });
      field.addEventListener('input', () => set(name, field.value));
      shown.push(() => {
        const typed = fields.has(name) ? String(fields.get(name).value) : '';
        if (field.value !== typed) field.value = typed;
      });
      return field;
    };
    const labelled = (name, label) => make('label', { class: 'headed' }, label, input(name, null));
    const choice = (name, label, answers, change = set) => {
      const select = make(
        'select',
        {},
        ...['', ...answers].map(answer => make('option', { value: answer }, answer || '–')),
      );
      select.addEventListener('change', () => {
        change(name, select.value);
        refresh();
      });
      shown.push(() => {
        select.value = text(name);
      });
      return make('label', { class: 'headed' }, label, select);
    };
    const begin = () => Promise.resolve(kept);
    const ties = { shown, text, refresh, set, input, begin, labelled, choice };
    return { kept, data: kept.data, fields, ...ties };
  }

  function head(form) {
    const { kept, data, fields, labelled } = form;
    const progress = make('p', { class: 'progress' });
    form.shown.push(() => {
      progress.textContent = record.progress(data, fields).words;
    });
    const carried = 'with the limits and texts that this record began with';
    return [
      make('p', { class: 'actions' }, make('a', { class: 'all', href: '#' }, '‹ All in progress')),
      make('h2', {}, kept.title),
      make(
        'p',
        { class: 'older' },
        `Revision ${kept.revision}, ${carried}. Holds at ${data.holds}.`,
      ),
      progress,
      record.fromPaper(fields) ? make('p', {}, 'Typed in from finished paper.') : '',
      make(
        'div',
        { class: 'heads' },
        labelled('serial', 'Meter serial no.'),
        labelled('asset', 'Asset no.'),
        labelled('owner', 'Owner'),
        labelled('received', 'Received on'),
        data.verified_against
          ? labelled('last_adjusted', `Last adjusted on; limits of ${data.verified_against}`)
          : '',
        labelled('place', 'Place'),
        labelled('date', 'Date'),
        form.choice('state', 'State', ['as found', 'as left']),
        labelled('ambient', 'Ambient at the start'),
        labelled('humidity', 'Humidity at the start, %'),
        labelled('ambient_end', 'Ambient at the end'),
        labelled('humidity_end', 'Humidity at the end, %'),
        labelled('done_by', 'Done by'),
        labelled('reviewed_by', 'Reviewed by'),
        ...data.standards.flatMap(({ standard, name, certificate, due }) => [
          labelled(`standard/${standard}/number`, `${name}, no.`),
          labelled(`standard/${standard}/certificate`, `${name}, certificate, here ${certificate}`),
          labelled(`standard/${standard}/due`, `${name}: stop after ${due}; label, if earlier`),
        ]),
      ),
    ];
  }

  function lines(form, group) {
    const { data } = form;
    const inputs = [];
    const own = all => all.filter(one => one.group === group.group);
    const ticks = rows.steps(
      form,
      group.opening,
      n => `tick/${group.group}/before/${n}`,
      n => `blank/${group.group}/${n}`,
      n => record.isTicked(group, n, form.fields),
    );
    const points = own(data.points).map(point => rows.point(form, point, inputs));
    const checks = own(data.checks).map(check => [check, rows.check(form, check)]);
    return [
      rows.hold(form, group),
      make('h3', {}, `${group.group} ${group.title}`),
      ...group.warnings.map(warning => make('p', { class: 'sign warn plain' }, warning)),
      group.jacks.length ? make('p', {}, `Jacks: ${group.jacks.join(', ')}`) : '',
      rows.initials(form, group),
      ticks,
      rows.gate(form, group, { inputs, ticks, checks }),
      ...points,
      ...checks.map(([, card]) => card),
      rows.steps(form, group.closing, n => `tick/${group.group}/after/${n}`),
      ...rows.closing(form, group),
    ];
  }

  function end({ kept, fields, labelled, choice }, said) {
    const handOver = async share => {
      said.textContent = await record.handOver(kept, fields, share);
    };
    return [
      make('h3', {}, 'Verdict'),
      choice('verdict', 'This meter at these points, on this day', [
        'all within',
        'not all within',
        'not completed',
        'not safe to use',
      ]),
      labelled('failed', 'Steps not within, steps not done'),
      labelled('work_step', 'Worked on the meter at step'),
      labelled('work_done', 'What was done (battery, fuse)'),
      labelled('remarks', 'Remarks; what was cleaned, replaced or adjusted'),
      labelled('next', 'What is next for this meter'),
      make(
        'p',
        { class: 'actions' },
        button('Save the record as a file', () => handOver(false)),
        navigator.canShare ? button('Share the record', () => handOver(true)) : '',
      ),
      said,
    ];
  }
})();
