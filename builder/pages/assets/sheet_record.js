/* Which record is being written at a sheet: begun with the first key, gone on with, or another
 * one; and what other pages write into it. */
(function () {
  'use strict';
  const { store, record, make, button, sheet } = Bench;
  const { data } = sheet;

  let creating = null;
  let started;
  const ready = new Promise(resolve => {
    started = resolve;
  });
  /** The record that is being written, begun if there is none. */
  sheet.begin = () =>
    sheet.kept ? Promise.resolve(sheet.kept) : (creating = creating || create());
  async function create() {
    await ready; // else a key that was typed early would begin a second record
    if (!sheet.kept) {
      sheet.kept = await store.create({
        procedure: data.procedure,
        revision: data.revision,
        title: data.title,
        meter: data.meter,
        page: location.pathname,
        data,
      });
      remember();
      if (!sheet.text('date')) sheet.set('date', sheet.localDate());
      choose();
    }
    creating = null;
    return sheet.kept;
  }

  // A link to a group takes the address's end, so a reload finds the record by its tab too.
  const TAB = 'bench-record ' + data.procedure;
  function remember() {
    const { kept } = sheet;
    try {
      history.replaceState(
        null,
        '',
        kept ? '#record=' + kept.id : location.pathname + location.search,
      );
    } catch (error) {
      /* a page opened as a file */
    }
    try {
      if (kept) sessionStorage.setItem(TAB, kept.id);
      else sessionStorage.removeItem(TAB);
    } catch (error) {
      /* a private window */
    }
  }

  function use(found) {
    sheet.kept = found ? found.record : null;
    sheet.fields = found ? found.fields : new Map();
    sheet.starting.forEach(forget => forget());
    remember();
    sheet.refresh();
    choose();
  }

  // there from the start, so that the first key moves nothing
  const listed = make('a', { class: 'all', href: '../in-progress.html' }, 'All in progress');
  const others = make('div', { class: 'others' }, listed);
  document.querySelector('.sheet-head').before(others);

  const ofThisSheet = async () =>
    (await store.list()).filter(
      found =>
        found.record.procedure === data.procedure && record.isWhole(found.record, found.fields),
    );

  /** What else is in work at this sheet, and records that were begun under other limits. */
  async function choose() {
    const all = await ofThisSheet();
    const { kept } = sheet;
    others.replaceChildren();
    for (const other of all)
      if (!kept || other.record.id !== kept.id) others.append(linkTo(other.record, other.fields));
    others.append(
      kept
        ? button('Begin another meter', () => use(null), { class: 'small' })
        : button('Type in finished paper', fromPaper, { class: 'small' }),
    );
    others.append(listed);
  }

  /** Chosen before the first entry: it stays as it is. */
  const fromPaper = () => sheet.fields.size || sheet.set('from_paper', 'yes');

  function linkTo(other, fields) {
    const serial = record.text(fields, 'serial');
    const name = `${serial ? 'serial ' + serial : 'no serial yet'}, ${other.begun.slice(0, 10)}`;
    const done = record.progress(other.data, fields).words;
    if (other.revision === data.revision)
      return button(`Go on with ${name}: ${done}`, async () => use(await store.get(other.id)), {
        class: 'small',
      });
    return make(
      'a',
      { class: 'older', href: '../in-progress.html#record=' + other.id },
      `${name}, was begun under revision ${other.revision} with its own limits: ${done}. `,
      'Go on there.',
    );
  }

  let soon = 0;
  store.onchange(change => {
    if (sheet.kept && change.record === sheet.kept.id) {
      if (change.removed) use(null);
      else if (change.field) {
        sheet.fields.set(change.field, { value: change.value, at: change.at });
        sheet.refresh();
      }
    } else {
      clearTimeout(soon);
      soon = setTimeout(choose, 500);
    }
  });

  // A page that slept may have missed what another one wrote.
  async function wake() {
    const found = sheet.kept && (await store.get(sheet.kept.id));
    if (!found || !sheet.kept || found.record.id !== sheet.kept.id) return;
    const { fields } = sheet;
    for (const [name, field] of found.fields)
      if (!fields.has(name) || fields.get(name).at < field.at) fields.set(name, field);
    sheet.refresh();
  }
  window.addEventListener('pageshow', event => {
    if (event.persisted) wake();
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') wake();
  });

  async function start() {
    let wanted = (/[#&]record=([\w-]+)/.exec(location.hash) || [])[1];
    try {
      wanted = wanted || sessionStorage.getItem(TAB);
    } catch (error) {
      /* a private window */
    }
    const all = (await ofThisSheet()).filter(found => found.record.revision === data.revision);
    const early = sheet.fields;
    // The record named in the address or the tab, else the one touched last that has no verdict.
    use(
      (wanted && all.find(found => found.record.id === wanted)) ||
        all.find(found => !record.text(found.fields, 'verdict')) ||
        null,
    );
    // typed before the list was there
    for (const [name, field] of early) sheet.fields.set(name, field);
    sheet.refresh();
    document.body.classList.add('bench-on');
    started();
  }
  start();
})();
