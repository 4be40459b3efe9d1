/* The bench view: one stop of the page fills the screen, over the page's own fields. It moves from
 * stop to stop, and ticks what one tap may tick. */
(function () {
  'use strict';
  const { record, make, button, sheet, view } = Bench;
  const { body } = document;
  const article = document.querySelector('article');
  const bar = document.querySelector('.bench-bar');
  let at = null; // the stop that is shown
  view.on = () => body.classList.contains('bench-view');
  view.at = () => at;
  view.shown = []; // functions that bring a part of the view up to date with a stop
  const usable = place => !place.disabled && !place.readOnly && place.checkVisibility();

  // ---------------------------------------------------------------- what is shown

  let shown = [];
  function showOnly(stop) {
    const gate = stop.gate && stop.kind !== 'close' && gateKeepsShut(stop) ? [stop.gate] : [];
    const elements = [...gate, ...stop.here];
    if (elements.length === shown.length && elements.every((one, n) => one === shown[n])) return;
    shown = elements;
    for (const name of ['here', 'way'])
      article.querySelectorAll(`[data-${name}]`).forEach(one => delete one.dataset[name]);
    for (const element of elements) {
      element.dataset.here = '';
      for (let up = element.parentElement; up && up !== article; up = up.parentElement)
        up.dataset.way = '';
    }
  }
  const gateKeepsShut = stop => {
    const stands = Bench.gates.stands(sheet, stop.group);
    return stands.held || stands.shut;
  };

  /** Shows a stop; `place` gets the focus, else what is done there first. */
  view.show = function (stop, place) {
    at = stop;
    arrived = Date.now();
    // what was read before is no secret
    if (stop.point && sheet.text(`point/${stop.point.id}/1`)) revealed.add(stop.point.id);
    sheet.atGroup(stop.group || null);
    sheet.refresh();
    if (!view.on()) return;
    article.scrollTop = 0;
    const first = place || view.firstPlace();
    if (first) first.focus({ preventScroll: true });
    keepInSight(first);
  };

  const PLACES = '.ticks input, .open-group, input.typed, .answer';
  const places = () => at.here.flatMap(one => [...one.querySelectorAll(PLACES)]).filter(usable);
  const isEmpty = place =>
    place.type === 'checkbox'
      ? !place.checked
      : place.matches('.answer')
        ? view.isUndone(at)
        : place.matches('.open-group') || place.value === '';
  /** Where something is still to be done at this stop. */
  view.firstPlace = function () {
    const all = places();
    if (view.isAtOnce(at)) return pad().main;
    if (at.kind === 'check') {
      const write = all.find(one => one.closest('td.write'));
      return write && write.value === '' ? write : all.find(one => one.matches('.answer'));
    }
    const own = all.filter(one => !one.closest('.who, .otherwise, .within'));
    if (at.kind === 'point') return own.find(isEmpty) || own[own.length - 1] || pad().main;
    return own.find(isEmpty) || pad().main;
  };
  const pad = () => view.pad;

  // What the keys never cover: the verdict, what is said of a reading near zero, and the answers
  // once a number is written.
  const IN_SIGHT = {
    point: 'output.says, .band, [data-asks] .changed',
    close: '.near-zero output.says:not(:empty)',
    check: '.write:has(input:not(:placeholder-shown)) ~ .within .answers',
  };
  function keepInSight(place) {
    const selector = IN_SIGHT[at.kind];
    const says = selector ? at.here.flatMap(one => [...one.querySelectorAll(selector)]) : [];
    says.reverse(); // the verdict comes last, and so before all else
    if (at.kind === 'point') article.scrollTop = 0; // what is applied too, where there is room
    for (const one of [place, ...says])
      if (one && at.here.some(element => element.contains(one)))
        one.scrollIntoView({ block: 'nearest' });
  }

  // ---------------------------------------------------------------- moving

  view.move = function (by) {
    const next = view.stops[view.stops.indexOf(at) + by];
    if (next) view.show(next);
  };
  const goOn = () => view.show(view.behind(at));

  /** A second press within this time, in ms, is the end of a double tap: it neither ticks a group
   * nor passes over a step. */
  view.doubleTap = 400;
  let arrived = 0;
  const isDoubleTap = () =>
    Date.now() - arrived < view.doubleTap && at.kind !== 'head' && view.isUndone(at);

  /** The large key: ticks what may be ticked at once, else goes on. */
  view.main = function () {
    Bench.catchUp();
    const key = view.mainKey();
    if (key.disabled || isDoubleTap()) return;
    leaveField();
    if (key.ticks) view.boxes(at).forEach(box => box.checked || box.disabled || box.click());
    else if (key.shows) return reveal();
    else if (at.kind === 'point') {
      const left = places().filter(one => one.matches('.reads'));
      const here = left.indexOf(document.activeElement);
      const empty = left.slice(here + 1).find(one => one.value === '');
      if (empty && here >= 0) return empty.focus();
    }
    goOn();
  };
  /** What the large key says and does at this stop. */
  view.mainKey = function () {
    if (at.kind === 'end') return { words: '', disabled: true };
    const left = view.boxes(at).filter(box => !box.checked);
    if (view.isAtOnce(at) && left.length)
      return view.isBarred(at)
        ? { words: 'Shut', disabled: true }
        : { words: `All ${at.kind === 'setup' ? 'set' : 'done'} as written`, ticks: true };
    if (at.live && at.kind === 'setup' && !view.isOpen(at))
      return { words: 'Not open yet', disabled: true };
    if (at.live && at.kind === 'close' && !view.isClosed(at))
      return { words: 'Not closed yet', disabled: true };
    if (view.isBlind(at)) return { words: 'Show the limits', shows: true };
    return { words: 'Next' };
  };

  // A reading that the keys typed is read out when it is left, as one from a keyboard is.
  function leaveField() {
    const field = document.activeElement;
    if (field && field.matches('input.typed')) field.dispatchEvent(new Event('change'));
  }

  // ---------------------------------------------------------------- what the page does besides

  /** In place of the page's own ways to move on. */
  sheet.inView = {
    goOn(from) {
      Bench.catchUp();
      if (from && from.matches('.open-group')) return goOn();
      const follows = place =>
        from.compareDocumentPosition(place) & Node.DOCUMENT_POSITION_FOLLOWING;
      const next =
        at.kind !== 'point' && from && places().find(place => follows(place) && isEmpty(place));
      if (next && !next.matches('.answer')) next.focus();
      else view.main();
    },
    focusOn(place) {
      const stop = view.stopOf(place);
      if (stop) view.show(stop, place);
    },
  };

  function answered(row) {
    const write = row.querySelector('td.write input');
    if (view.isUndone(at) || sheet.text('check/' + at.check.step) !== 'yes') return;
    if (write && write.value === '') write.focus();
    else goOn();
  }
  article.addEventListener('click', event => {
    if (!view.on()) return;
    const link = event.target.closest('a[href^="#"]');
    const aim = link && document.getElementById(link.getAttribute('href').slice(1));
    if (aim && !link.closest('.view-list')) {
      const group = sheet.groups.find(one => aim.id === 'group-' + one.group);
      const stop = group ? view.stops.find(one => one.group === group) : view.stopOf(aim);
      if (!stop) return;
      event.preventDefault();
      view.show(stop);
    } else if (event.detail !== 0 && event.target.closest('[data-here] .answer'))
      answered(event.target.closest('tr'));
  });
  article.addEventListener('change', event => {
    if (!view.on() || !event.target.matches('[data-here] ul.ticks input[type=checkbox]')) return;
    const next = view.boxes(at).find(box => !box.checked && !box.disabled);
    if (next || !event.target.checked) {
      if (next) next.scrollIntoView({ block: 'nearest' });
      return;
    }
    const typed = places().find(one => one.matches('.ticks input.typed') && one.value === '');
    if (typed) typed.focus();
    else if (!at.live) view.isAtOnce(at) || goOn();
    else if (at.kind === 'between') goOn();
    else if (view.firstPlace()) keepInSight(view.firstPlace());
  });

  // ---------------------------------------------------------------- steps as the group before

  function markSame(stop) {
    const same = record.asBefore(sheet.data, stop.group, sheet.fields);
    const items = [...stop.group.element.querySelectorAll('.before ul.ticks li')];
    const wasSet = view.boxes(stop).every(box => box.checked);
    items.forEach((item, n) => item.toggleAttribute('data-same', same.includes(n) && !wasSet));
    const leads = n => /^(own-)?leads/.test(stop.group.opening_steps[n]);
    const before = stop.group.element.querySelector('.before');
    before.toggleAttribute('data-same-leads', same.some(leads));
  }

  // ---------------------------------------------------------------- in and out

  view.bring = () => {
    if (!view.on() || !at) return;
    if (at.kind === 'setup') markSame(at);
    showOnly(at);
    view.shown.forEach(show => show(at));
    keepInSight(null);
  };
  view.bring.follows = true; // a reading's verdict comes first
  sheet.shown.push(view.bring);
  sheet.starting.push(() =>
    queueMicrotask(() => view.on() && view.show(view.whereItIs())),
  );

  view.enter = function () {
    body.classList.add('bench-view');
    view.pad.takeOver(true);
    const row = document.querySelector('tr[data-current]');
    const stop = row && row.contains(document.activeElement) && view.stopOf(row);
    view.show(stop || at || view.whereItIs());
  };
  view.leave = function () {
    body.classList.remove('bench-view');
    sheet.choice_of_view.chosen = false;
    view.pad.takeOver(false);
    view.shown.forEach(show => show(null));
    const [first] = at.here.slice(-1);
    first.scrollIntoView({ block: 'center' });
  };

  document.addEventListener('keydown', event => {
    if (!view.on()) return;
    if (event.key === 'Enter' && event.repeat) event.preventDefault();
    else if (event.key === 'PageUp') view.move(-1);
    else if (event.key === 'PageDown') view.move(1);
    else return;
    event.preventDefault();
  }, true);
  // a swipe to the right is back, one to the left is on; neither ticks anything
  let from = null;
  article.addEventListener('touchstart', event => {
    const [touch] = event.touches;
    const isOne = event.touches.length === 1 && !event.target.closest('.pad');
    from = isOne ? { x: touch.clientX, y: touch.clientY } : null;
  }, { passive: true });
  article.addEventListener('touchend', event => {
    const [touch] = event.changedTouches;
    if (!view.on() || !from) return;
    const [x, y] = [touch.clientX - from.x, touch.clientY - from.y];
    if (Math.abs(x) > 70 && Math.abs(y) < 40) view.move(x > 0 ? -1 : 1);
  }, { passive: true });

  // ---------------------------------------------------------------- blind reading

  const revealed = new Set();
  /** Whether the limits of a stop stay out of sight until its reading is left. */
  view.isBlind = stop =>
    view.readsBlind() &&
    stop.kind === 'point' &&
    stop.point.accept !== null &&
    !revealed.has(stop.point.id);
  function reveal() {
    if (sheet.text(`point/${at.point.id}/1`) === '') return goOn();
    revealed.add(at.point.id);
    view.bring();
  }
  sheet.starting.push(() => revealed.clear());
})();
