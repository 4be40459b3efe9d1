/* Which record is being written at a sheet: begun with the first key, gone on with, or another
 * one; and what other pages write into it. */
(function () {
  'use strict';
  const { store, record, make, button, sheet } = Bench;
  const { data } = sheet;

  const opened = new Date().toISOString();
  let apart = false; // whether a person asked for a record of its own here
  let creating = null;
  let started;
  const ready = (sheet.ready = new Promise(resolve => {
    started = resolve;
  }));
  /** The record that is being written, begun if there is none. */
  sheet.begin = () =>
    sheet.kept ? Promise.resolve(sheet.kept) : (creating = creating || create());
  async function create() {
    await ready; // else a key that was typed early would begin a second record
    if (!sheet.kept) {
      const early = sheet.fields;
      const twin = await begunElsewhere();
      if (twin) use(twin);
      else
        sheet.kept = await store.create({
          procedure: data.procedure,
          revision: data.revision,
          title: data.title,
          meter: data.meter,
          page: location.pathname,
          data,
        });
      remember();
      add(early);
      if (!sheet.text('date') && !record.fromPaper(sheet.fields))
        sheet.set('date', sheet.localDate()); // finished paper has its own
      choose();
    }
    creating = null;
    return sheet.kept;
  }
  /** Keeps fields that were typed or taken over before there was a record. */
  function add(early) {
    for (const [name, field] of early) {
      sheet.fields.set(name, field);
      if (sheet.kept) store.set(sheet.kept.id, name, field.value, field.at);
    }
    sheet.refresh();
  }

  const decoded = function (found) {
    try {
      return found ? decodeURIComponent(found[1]) : '';
    } catch (error) {
      return '';
    }
  };
  const named = what => decoded(new RegExp(`[#&]${what}=([^&]+)`).exec(location.hash));
  const inSearch = what => decoded(new RegExp(`[?&]${what}=([^&]+)`).exec(location.search));

  // A link to a group takes the address's end, so a reload finds the record by its tab too.
  const TAB = 'bench-record ' + data.procedure;
  function remember() {
    const { kept } = sheet;
    try {
      // a serial number of the address stays in it until its record has begun
      const search = inSearch('serial') ? '' : location.search;
      const serial = encodeURIComponent(sheet.text('serial'));
      // a link to a place of the page keeps its end, or a slow page would not go there
      const isPlace = document.getElementById(location.hash.slice(1));
      const own = kept ? '#record=' + kept.id : serial && '#serial=' + serial;
      const end = isPlace ? location.hash : own;
      history.replaceState(null, '', location.pathname + search + end);
    } catch (error) {
      /* a page opened as a file */
    }
    if (sheet.asBegun) return;
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

  /** A record of its own, which begins with the first key: with `given` fields, [name, value]. */
  function fresh(given) {
    apart = true;
    const at = new Date().toISOString();
    use(null);
    sheet.fields = new Map(given.map(([name, value]) => [name, { value, at }]));
    remember();
    sheet.refresh();
  }

  // there from the start, so that the first key moves nothing
  const listed = make('a', { class: 'all', href: '../in-progress.html' }, 'All in progress');
  const others = make('div', { class: 'others' }, listed);
  document.querySelector('.sheet-head').before(others);
  const older = make('a', { class: 'older-record', hidden: true });
  const gone = make('a', { class: 'older-record', hidden: true, href: '../in-progress.html' });
  sheet.bar.append(older, gone);
  if (sheet.asBegun) {
    older.hidden = false;
    older.href = '../in-progress.html';
    older.textContent = `Revision ${data.revision}, its own limits`;
  }

  const ofThisSheet = async () =>
    (await store.list()).filter(
      found =>
        found.record.procedure === data.procedure && record.isWhole(found.record, found.fields),
    );
  /** What another tab of this sheet has begun since both were opened: one record, not two. */
  const begunElsewhere = async () =>
    apart
      ? null
      : (await ofThisSheet()).find(
          ({ record: one }) => one.begun >= opened && one.revision === data.revision,
        );

  /** What else is in work at this sheet, and records that were begun under other limits. */
  async function choose() {
    const all = await ofThisSheet();
    if (!sheet.kept && !sheet.fields.size && !apart) {
      const twin = await begunElsewhere();
      if (twin && !sheet.kept && !sheet.fields.size) return use(twin);
    }
    const { kept } = sheet;
    others.replaceChildren();
    for (const other of all)
      if (other.record.revision === data.revision && !(kept && other.record.id === kept.id))
        others.append(linkTo(other.record, other.fields));
    if (sheet.asBegun) return others.append(listed);
    others.append(
      kept
        ? button('Begin another meter', another, { class: 'small' })
        : button('Type in finished paper', fromPaper, { class: 'small' }),
    );
    others.append(listed);
    const [first, ...more] = record.whichOpen(all, data).older;
    older.hidden = !first || Boolean(kept);
    if (!first) return;
    older.href = '../in-progress.html' + (more.length ? '' : '#record=' + first.record.id);
    const words = record.called(first.record, first.fields);
    older.textContent = more.length
      ? `${more.length + 1} records go on under earlier limits: open them`
      : `${words} goes on under revision ${first.record.revision}, its own limits: open it`;
  }

  const another = () =>
    fresh(record.forTheNext(data, sheet.fields, sheet.localDate()));
  /** Chosen before the first entry: it stays as it is. */
  const fromPaper = () => sheet.fields.size || sheet.set('from_paper', 'yes');

  function linkTo(other, fields) {
    const done = record.progress(other.data, fields).words;
    const words = `Go on with ${record.called(other, fields)}: ${done}`;
    return button(words, async () => use(await store.get(other.id)), { class: 'small' });
  }

  let soon = 0;
  store.onchange(change => {
    if (sheet.kept && change.record === sheet.kept.id) {
      if (change.removed) leave();
      else if (change.field === 'deleted' && change.value === 'yes') leave();
      else if (change.field) {
        sheet.fields.set(change.field, { value: change.value, at: change.at });
        sheet.refresh(change.field);
      }
    } else {
      clearTimeout(soon);
      soon = setTimeout(choose, 500);
    }
  });
  /** Another page has deleted the record that is being written here. */
  function leave() {
    gone.textContent = `Deleted on “In progress”: ${record.called(sheet.kept, sheet.fields)}`;
    gone.hidden = false;
    if (sheet.asBegun) location.assign('../in-progress.html');
    else use(null);
  }

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

  function wanted() {
    try {
      return named('record') || sessionStorage.getItem(TAB) || '';
    } catch (error) {
      return named('record'); // a private window
    }
  }

  /** The record that the address or the tab names, or the one of the serial number in the address;
   * (`#serial=0147`, or `?serial=0147` where a label's maker leaves no other way);
   * else the one that is in work, and where there are several, the one that a person chooses. */
  async function start() {
    const serial = sheet.asBegun ? '' : named('serial') || inSearch('serial');
    const all = await ofThisSheet();
    const early = sheet.fields;
    const asked = { ...data, serial, wanted: serial ? '' : wanted() };
    const { found, ask } = record.whichOpen(all, asked);
    const paper = Boolean(named('paper'));
    const isMeant = one => one && (!paper || record.fromPaper(one.fields));
    const chosen = ask.length ? await sheet.ask(ask) : isMeant(found) ? found : null;
    if (sheet.asBegun && !chosen) return location.replace('../in-progress.html');
    const given = [serial && ['serial', serial], paper && ['from_paper', 'yes']].filter(Boolean);
    if (chosen || !(given.length || ask.length)) use(chosen);
    else fresh(given);
    add(early); // typed before the list was there
    document.body.classList.add('bench-on');
    started();
  }
  start();
  window.addEventListener('hashchange', () => {
    if (named('serial') && !sheet.asBegun) start();
  });
})();
