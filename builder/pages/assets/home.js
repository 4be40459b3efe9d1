/* The first page: the meter of a serial number, what is in work on this device, and due dates as
 * they are today. All of it is in the page or on the device. */
(function () {
  'use strict';
  const { store, record, make } = Bench;
  const today = document.querySelector('.today');
  const known = JSON.parse(document.getElementById('known').textContent);
  const plain = text => text.toLowerCase().replace(/\s+/g, '');
  const MOST = 3;

  // ---- due dates: those of the day that the page was built for, or of a later one
  const now = new Date();
  const here = [now.getFullYear(), now.getMonth() + 1, now.getDate()]
    .map(part => String(part).padStart(2, '0'))
    .join('-');
  const day = known.as_of && here > known.as_of ? here : known.as_of;
  function away(due) {
    if (!day) return `due ${due}`;
    const left = Math.round((Date.parse(due) - Date.parse(day)) / 86400000);
    if (left < 0) return `since ${due}`;
    return left ? `due ${due}, in ${left} day${left === 1 ? '' : 's'}` : 'due today';
  }
  const late = due => Boolean(due && day && due < day);
  const chip = ([kind, words]) => make('b', { class: `chip ${kind}` }, words);
  const OVERDUE = ['bad', '✗ overdue'];
  const state = one => chip(late(one.due) && one.chip[0] !== 'bad' ? OVERDUE : one.chip);
  for (const line of today.querySelectorAll('[data-due]')) {
    const { due } = line.dataset;
    line.querySelector('.when').textContent = away(due);
    if (late(due) && !line.querySelector('.chip.bad'))
      line.querySelector('small').prepend(chip(OVERDUE));
  }

  // ---- a serial number: its sheet, its last report, when it is due
  const form = today.querySelector('form.serial');
  const link = (href, words, name) => make('a', { class: name, href }, words);
  const begin = (serial, [title, page], word) =>
    link(`procedures/${page}.html#serial=${encodeURIComponent(serial)}`, word || title, 'go');

  function found(one) {
    const sheets = one.why ? [] : known.sheets[one.meter] || [];
    const says = [
      one.due && !one.why ? away(one.due) : one.why && `withdrawn: ${one.why}`,
      one.barred.length && `not for ${one.barred.join('; ')}`,
    ];
    return make(
      'section',
      { 'aria-label': `${one.name}, ${one.serial}` },
      make(
        'div',
        {},
        make('b', {}, `${one.name} · ${one.serial}`),
        ' ',
        state(one),
        make('p', {}, says.filter(Boolean).join('; ')),
      ),
      ...sheets.map(sheet => begin(one.serial, sheet, sheets.length === 1 && 'Begin')),
      make(
        'p',
        {},
        one.report
          ? link(`reports/${one.report[0]}.html`, `Last report, ${one.report[1]}`)
          : 'No report yet',
        ' ',
        one.report ? chip(one.report[2]) : '',
        one.page ? ' · ' : '',
        one.page ? link(`history/${one.page}.html`, 'History') : '',
      ),
    );
  }

  function fitting(asked) {
    const fits = known.serials.filter(one => plain(one.serial).includes(asked));
    const same = fits.filter(one => plain(one.serial) === asked);
    return same.length ? same : fits;
  }

  function answer() {
    const typed = form.elements.serial.value.trim();
    const fits = typed ? fitting(plain(typed)) : [];
    today.classList.toggle('sought', typed !== '');
    const sheets = Object.entries(known.sheets).flatMap(([, own]) => own);
    const place = today.querySelector('.found');
    if (!typed) place.replaceChildren();
    else if (fits.length)
      place.replaceChildren(
        ...fits.slice(0, MOST).map(found),
        fits.length > MOST ? make('p', {}, `${fits.length - MOST} more: type on.`) : '',
      );
    else
      place.replaceChildren(
        make('p', {}, `No meter here has the serial number ${typed}. Begin a sheet with it:`),
        ...sheets.map(sheet => begin(typed, sheet)),
      );
  }
  if (form) {
    form.hidden = false;
    form.addEventListener('input', answer);
    form.addEventListener('submit', event => {
      event.preventDefault();
      const sheets = today.querySelectorAll('.found section .go');
      if (sheets.length === 1) location.href = sheets[0].href;
    });
    answer(); // what a browser kept of it
  }

  // ---- the limits: what was asked goes along to their own page
  const more = today.querySelector('.value h2 a');
  if (more) more.addEventListener('click', () => (more.href = 'limits.html' + location.hash));

  // ---- in work on this device
  const work = today.querySelector('.work');
  async function list() {
    const all = (await store.list()).filter(
      one => record.isWhole(one.record, one.fields) && !record.text(one.fields, 'verdict'),
    );
    work.hidden = !all.length;
    work.querySelector('ul').replaceChildren(...all.slice(0, MOST).map(inWork));
    if (all.length > MOST)
      work.querySelector('ul').append(
        make('li', {}, link('in-progress.html', `All ${all.length} in progress`)),
      );
  }
  function inWork({ record: kept, fields }) {
    const page = (known.pages[kept.procedure] || {})[kept.revision];
    const serial = record.text(fields, 'serial') || 'no serial yet';
    const name = known.meters[kept.meter] || kept.title;
    const says = [record.progress(kept.data, fields).words, record.text(fields, 'state')];
    const href = `${page ? `procedures/${page}.html` : 'in-progress.html'}#record=${kept.id}`;
    return make(
      'li',
      {},
      make(
        'div',
        {},
        make('b', {}, `${name} · ${serial}`),
        make('small', {}, says.filter(Boolean).join(' · ')),
      ),
      make('a', { class: 'go', href, 'aria-label': `Go on with ${name}, ${serial}` }, 'Go on'),
    );
  }
  let soon = 0;
  if (work) {
    list();
    store.onchange(() => {
      clearTimeout(soon);
      soon = setTimeout(list, 500);
    });
  }
})();
