/* Moving on from place to place, and the bar that says how far the record is and where. */
(function () {
  'use strict';
  const { store, record, lock, make, put, button, sheet } = Bench;
  const { groups } = sheet;

  /* Where something can still be typed, ticked or pressed, in the order of the page. A key that is
   * done goes to the next of its group; behind the last one the next group's heading comes first,
   * since warnings stand below it. */
  const PLACES =
    '.ticks input:not([disabled]), .open-group, input.reads, .answer:first-child, td.write input';
  // the bench view moves on by itself
  const inView = () => document.body.classList.contains('bench-view');
  const visible = element =>
    element.checkVisibility ? element.checkVisibility() : element.offsetParent !== null;
  const follows = (place, from) =>
    from.compareDocumentPosition(place) & Node.DOCUMENT_POSITION_FOLLOWING;
  const ahead = (group, from) =>
    [...group.element.querySelectorAll(PLACES)].find(
      place =>
        (!from || follows(place, from)) &&
        !place.disabled &&
        !place.readOnly &&
        visible(place) &&
        undone(place),
    );
  function undone(place) {
    const row = place.closest('tr');
    if (place.type === 'checkbox') return !place.checked;
    if (place.matches('.open-group'))
      return sheet.text('open/' + place.closest('[data-group]').dataset.group) === '';
    if (place.matches('.answer')) return row.dataset.outcome === '';
    if (place.matches('.reads'))
      return (
        place.value === '' || !record.outcome(sheet.data, sheet.points.get(row.id), sheet.fields)
      );
    return place.value === '' && (!row || row.dataset.outcome !== '');
  }

  const goOn = (sheet.goOn = function (from) {
    Bench.catchUp(); // what is shut or open by what was typed
    if (inView()) return sheet.inView.goOn(from);
    const here = groups.find(group => group.element.contains(from));
    const found = here && ahead(here, from);
    if (found) return focusOn(found);
    const following = here ? groups[groups.indexOf(here) + 1] : groups.find(group => ahead(group));
    const heading = following
      ? document.getElementById('group-' + following.group)
      : document.querySelector('.blanks.verdict');
    heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
    heading.scrollIntoView({ block: 'start' });
  });
  const focusOn = (sheet.focusOn = function (place) {
    if (inView()) return sheet.inView.focusOn(place);
    place.focus({ preventScroll: true });
    if (!place.matches('.reads')) place.scrollIntoView({ block: 'center' });
  });

  // Enter does at a step or a heading what a tap and a look for the next place do.
  document.addEventListener('keydown', event => {
    const place = event.target;
    const group = groups.find(one => 'group-' + one.group === place.id);
    if (event.defaultPrevented) return;
    if (event.key !== 'Enter') {
      if (group || place.matches('.group :is([type="checkbox"], .answer)')) toNumber(event);
      return;
    }
    if (group) {
      const found = ahead(group);
      if (found) focusOn(found);
      else goOn(group.element);
    } else if (place.matches('.group .ticks input')) {
      if (place.type === 'checkbox' && !place.checked) place.click();
      goOn(place);
    } else return;
    event.preventDefault();
  });

  /* A number from finished paper, typed at a heading, a tick or an answer, belongs to the next
   * place for one: no digit is lost, and no Enter behind it ticks what nobody read. */
  function toNumber({ key, target, ctrlKey, altKey, metaKey }) {
    const isPart = /^[-−+.,\d]$/.test(key) && !ctrlKey && !altKey && !metaKey;
    if (!isPart || inView() || !record.fromPaper(sheet.fields)) return;
    const next = groups
      .flatMap(group => [...group.element.querySelectorAll('input.reads, td.write input')])
      .find(one => follows(one, target) && !one.disabled && visible(one) && undone(one));
    if (next) focusOn(next);
  }

  let current = null; // the group that is being worked at

  /** The row goes under the bar, so that the keyboard of a phone hides neither its limits nor its
   * verdict. */
  sheet.atHand = function (row) {
    document.querySelectorAll('tr[data-current]').forEach(other => {
      if (other !== row) delete other.dataset.current;
    });
    row.dataset.current = '';
    if (sheet.atGroup(groups.find(one => one.element.contains(row)))) sheet.refresh();
    if (inView()) return;
    keepBelow();
    bringUp(row);
  };
  /** The group that is worked at, for the bar; whether it is another one than before. */
  sheet.atGroup = function (group) {
    if (group === current) return false;
    current = group;
    nameGroup();
    return true;
  };
  const bringUp = row =>
    row.scrollIntoView({
      block: window.matchMedia('(max-width: 60rem)').matches ? 'start' : 'nearest',
    });

  const far = ['done', 'failed', 'left'].map(part => make('span', { class: 'far-' + part }));
  const progress = make('span', { class: 'progress' }, ...far);
  function sayFar({ done, of, failed, left }) {
    const words = [`${done} of ${of}`, failed ? ` · ${failed} failed` : '', ` · ${left} left`];
    words.forEach((textContent, n) => put(far[n], { textContent }));
  }
  const whose = make('b', { class: 'whose' });
  const where = make('span', { class: 'at-group' });
  /** To what is to be done next: the head first, then the first place that is not done. */
  sheet.resume = function () {
    Bench.catchUp();
    const lacks = lacking();
    if (lacks) return focusOn(document.querySelector(`[data-field="${lacks.field}"] input`));
    const group = groups.find(one => ahead(one));
    return group ? focusOn(ahead(group)) : goOn(document.body);
  };
  /** What the head lacks before anything else is done, and its serial number at any time. */
  function lacking() {
    const [first] = record
      .headLacks(sheet.data, sheet.fields)
      .filter(one => document.querySelector(`[data-field="${one.field}"] input`));
    const begun = record.progress(sheet.data, sheet.fields).done > 0;
    return first && (first.field === 'serial' || !begun) ? first : null;
  }
  const resume = button('Go on', () => sheet.resume(), { class: 'small' });
  const picture = make('div', { class: 'picture', hidden: true });
  const look = button(
    'Leads',
    () => {
      picture.hidden = !picture.hidden;
      look.setAttribute('aria-expanded', String(!picture.hidden));
      if (picture.hidden) return;
      const drawn = current.element.querySelector('svg.connection');
      picture.replaceChildren(
        make('p', {}, `Jacks: ${current.jacks.join(', ')}`),
        drawn ? drawn.cloneNode(true) : '',
      );
    },
    { class: 'small look', 'aria-expanded': 'false', hidden: true },
  );
  const undo = button('', () => sheet.takeBack(), { class: 'small undo', hidden: true });
  const live = make('a', { class: 'still-live', hidden: true });
  const elsewhere = make('a', {
    class: 'live-elsewhere',
    href: '../in-progress.html',
    hidden: true,
  });
  const lost = make(
    'a',
    { class: 'not-kept', href: '#not-kept', hidden: true },
    'Not kept on this device: hand it over',
  );
  // our header's; another theme has none
  const header = document.querySelector('header');
  const inHeader = document.querySelector('.at-sheet');
  const line = make('progress', { 'aria-hidden': 'true', hidden: true });
  if (inHeader) header.append(line);
  document.body.classList.toggle('said-above', Boolean(inHeader));
  /** The header says of which meter this is and how far, and the bar then has room for the rest. */
  function sayInHeader({ done, of, failed }) {
    const { kept } = sheet;
    document.body.classList.toggle('at-record', Boolean(kept));
    put(line, { hidden: !kept, max: of, value: done });
    const words = kept ? `${whose.textContent} · ${done} of ${of}` : '';
    put(inHeader, { textContent: words + (kept && failed ? ` · ${failed} failed` : '') });
  }
  const bar = (sheet.bar = make(
    'div',
    { class: 'bench-bar', role: 'region', 'aria-label': 'How far this record is' },
    make(
      'div',
      { class: 'line-two' },
      make('div', { class: 'so-far' }, whose, progress, where),
      resume,
      look,
      undo,
    ),
    live,
    elsewhere,
    lost,
    picture,
  ));
  const trouble = make('p', { class: 'trouble', id: 'not-kept', role: 'alert', hidden: true });
  document.querySelector('.sheet-head').before(bar, trouble);

  // What is scrolled to, by keys too, comes to rest below the bar.
  function keepBelow() {
    const fixed = header && /sticky|fixed/.test(getComputedStyle(header).position);
    const top = fixed ? header.offsetHeight : 0;
    bar.style.top = top + 'px';
    const stays = getComputedStyle(bar).position === 'sticky';
    const room = top + (stays ? bar.offsetHeight : 0) + 6 + 'px';
    const { style } = document.documentElement;
    if (style.scrollPaddingTop === room) return;
    style.scrollPaddingTop = room;
    const typing = document.activeElement && document.activeElement.closest('tr[data-current]');
    if (typing && !inView()) bringUp(typing); // the bar has grown over it
  }
  if (window.ResizeObserver)
    [bar, header].filter(Boolean).forEach(one => new ResizeObserver(keepBelow).observe(one));
  else keepBelow();

  function nameGroup() {
    const lacks = current ? null : lacking();
    const here = current && `${current.group} ${current.title}`;
    put(where, { textContent: here || (lacks ? `First: ${lacks.words}` : '') });
    put(resume, { hidden: Boolean(current) });
    put(look, { hidden: !(current && current.jacks.length) });
    put(picture, { hidden: true });
    look.setAttribute('aria-expanded', 'false');
  }
  nameGroup();

  sheet.shown.push(() => {
    const { data, fields } = sheet;
    if (!current) nameGroup();
    put(whose, { textContent: sheet.kept ? sheet.text('serial') || 'no serial yet' : '' });
    const now = record.progress(data, fields);
    sayFar(now);
    if (inHeader) sayInHeader(now);
    put(undo, { hidden: !sheet.lost });
    if (sheet.lost) {
      const words = `Undo: ${sheet.lost.words}`;
      const [step, was] = words.split(/(?= was )/);
      undo.replaceChildren(step, make('span', {}, was));
      undo.setAttribute('aria-label', words);
    }
    const still = record.live(data, fields)[0];
    const busy =
      still &&
      current &&
      current.group === still.group &&
      data.points.some(
        point => point.group === still.group && !record.outcome(data, point, fields),
      );
    const others = lock.elsewhere(sheet.kept ? sheet.kept.id : '');
    const words = `Live on this device: ${others.map(one => one.words).join('; ')}`;
    put(elsewhere, { hidden: !others.length, textContent: words });
    put(live, { hidden: !still || Boolean(busy) });
    if (still) {
      live.href = '#close-' + still.group;
      put(live, { textContent: `Group ${still.group} is still live: close it` });
    }
  });
  store.ontrouble(words => {
    trouble.textContent = words;
    trouble.hidden = lost.hidden = words === '';
  });
})();
