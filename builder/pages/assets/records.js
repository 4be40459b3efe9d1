/* "In progress": every record that this device keeps, to go on with, hand over or delete. A record
 * that was begun under another revision of its sheet has a page that is made of the limits and
 * texts that it carries. */
(function () {
  'use strict';
  const { store, record, lock, make, button } = Bench;
  const place = document.getElementById('records');
  // procedure → revision → the page of its sheet
  const revisions = JSON.parse(document.getElementById('sheets').textContent);
  const asked = () => (/[#&](?:record|preview)=([\w-]+)/.exec(location.hash) || [])[1];

  Bench.records = { list };

  const trouble = make('p', { class: 'trouble', role: 'alert', hidden: true });
  const said = make('p', { class: 'handed', role: 'status' });
  place.before(trouble, said);
  store.ontrouble(words => {
    trouble.textContent = words;
    trouble.hidden = words === '';
  });
  const when = iso =>
    new Date(iso).toLocaleString(undefined, { dateStyle: 'medium', timeStyle: 'short' });

  async function list() {
    const all = await store.list();
    const wanted = asked();
    const found = wanted && all.find(one => one.record.id === wanted);
    const whole = found && record.isWhole(found.record, found.fields);
    const isPreview = whole && /preview=/.test(location.hash);
    const page = whole && !isPreview && pageOf(found.record);
    if (page) return location.replace(`${page}#record=${wanted}`);
    place.replaceChildren();
    place.before(said);
    if (isPreview) return record.preview(found, place);
    if (found) return place.append(back(), brokenCard(found));
    if (!all.length)
      place.append(
        make(
          'p',
          {},
          'Nothing is in progress on this device. Open a sheet and type a reading: ',
          'it is kept here from the first key on.',
        ),
      );
    for (const one of all) place.append(card(one));
    const deleted = await store.list({ deleted: true });
    if (!deleted.length || asked()) return;
    place.append(make('h3', {}, 'Deleted'), ...deleted.map(deletedCard));
  }
  /** The page of the sheet that a record was begun at, or, where it is gone, the one that is made
   * of the record. */
  const sheetOf = kept => (revisions[kept.procedure] || {})[kept.revision];
  const pageOf = kept => `procedures/${sheetOf(kept) || 'as-begun_'}.html`;
  const back = () =>
    make('p', { class: 'actions' }, make('a', { class: 'all', href: '#' }, '‹ All in progress'));

  const card = found =>
    record.isWhole(found.record, found.fields) ? wholeCard(found) : brokenCard(found);

  function brokenCard({ record: kept, fields }) {
    const title = "A record that can't be read";
    return make(
      'section',
      { class: 'record', 'aria-label': title },
      make('h3', {}, title),
      make(
        'p',
        {},
        `${String(kept.id).slice(0, 60)}: what lies in this device's database is no whole record. `,
        'Save it as it was found, for someone who can look into it, or delete it.',
      ),
      make(
        'p',
        { class: 'actions' },
        button(
          'Save as it was found',
          () => {
            said.textContent = record.saveAsFound(kept, fields);
          },
          { class: 'small' },
        ),
        removeButton(kept),
      ),
    );
  }

  /** What was deleted stays until it is removed, or brought back. */
  function deletedCard({ record: kept, fields }) {
    const name = record.text(fields, 'serial')
      ? `${kept.title}, serial ${record.text(fields, 'serial')}`
      : `${kept.title}, no serial yet`;
    return make(
      'section',
      { class: 'record deleted', 'aria-label': `Deleted: ${name}` },
      make('p', {}, make('b', {}, name), ` · ${handedOver(fields)}`),
      make(
        'p',
        { class: 'actions' },
        button('Bring it back', () => keep(kept, ''), { class: 'small' }),
        removeButton(kept),
      ),
    );
  }
  const keep = (kept, value) => store.set(kept.id, 'deleted', value).then(lock.refresh).then(list);

  function handedOver(fields) {
    const over = record.handedOver(fields);
    if (!over) return 'never handed over';
    return `handed over ${when(over.at)}${over.since ? ', typed in since' : ''}`;
  }

  function wholeCard({ record: kept, fields, touched }) {
    const serial = record.text(fields, 'serial');
    const name = `${kept.title}, ${serial ? 'serial ' + serial : 'no serial yet'}`;
    const verdict = record.text(fields, 'verdict');
    const older =
      `Begun under revision ${kept.revision}, whose sheet is not here any more. ` +
      'This record keeps its own limits.';
    const says = [
      record.progress(kept.data, fields).words,
      record.text(fields, 'state'),
      verdict && 'verdict: ' + verdict,
      'last touched ' + when(touched),
      handedOver(fields),
    ];
    const live = record.live(kept.data, fields).map(group => group.group);
    const handOver = async share => {
      said.textContent = await record.handOver(kept, fields, share);
    };
    return make(
      'section',
      { class: 'record', 'aria-label': name },
      make('h3', {}, name),
      make('p', {}, says.filter(Boolean).join(' · ')),
      record.fromPaper(fields) ? make('p', {}, 'Typed in from finished paper.') : '',
      live.length
        ? make('p', { class: 'live-groups' }, `Still live: group ${live.join(', ')}. Close it.`)
        : '',
      sheetOf(kept) ? '' : make('p', { class: 'older' }, older),
      make(
        'p',
        { class: 'actions' },
        make('a', { class: 'go', href: `${pageOf(kept)}#record=${kept.id}` }, 'Go on'),
        make('a', { class: 'all', href: `#preview=${kept.id}` }, 'Preview the report'),
        button('Save as a file', () => handOver(false), { class: 'small' }),
        navigator.canShare ? button('Share', () => handOver(true), { class: 'small' }) : '',
        deleteButton(kept, live),
      ),
    );
  }

  /** A live group stays one whatever becomes of its record: that is asked about. */
  function deleteButton(kept, live = []) {
    const gone = () => keep(kept, 'yes');
    return live.length
      ? twice('Delete', 'A group is still live. Delete? Press once more', gone)
      : button('Delete', gone, { class: 'small' });
  }
  const removeButton = kept =>
    twice('Remove for good', 'Remove for good? Press once more', () =>
      store.remove(kept.id).then(lock.refresh).then(list),
    );
  /** Acts when it is pressed twice, but not by a double tap. */
  function twice(label, ask, act) {
    const pressed = button(
      label,
      () => {
        const { asked } = pressed.dataset; // when it was pressed first
        if (asked) return Date.now() - asked > 400 && act();
        pressed.dataset.asked = Date.now();
        pressed.textContent = ask;
        setTimeout(() => {
          delete pressed.dataset.asked;
          pressed.textContent = label;
        }, 6000);
      },
      { class: 'small' },
    );
    return pressed;
  }

  window.addEventListener('hashchange', list);
  let soon = 0;
  store.onchange(change => {
    if (change.removed) lock.refresh();
    if (!/(record|preview)=/.test(location.hash)) {
      clearTimeout(soon);
      soon = setTimeout(list, 500);
    }
  });
  list();
})();
