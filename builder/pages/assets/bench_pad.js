/* The keys of the bench view, its bar and its list. */
(function () {
  'use strict';
  const { record, make, button, sheet, view } = Bench;
  const article = document.querySelector('article');
  const bar = document.querySelector('.bench-bar');

  // ---------------------------------------------------------------- keys

  const NUMBERS =
    'input.reads, .ticks input.typed, .otherwise input.line, td.write input, ' +
    '[data-field^="ambient"] input, [data-field^="humidity"] input';
  const OWN = [...article.querySelectorAll(NUMBERS)].filter(one => one.inputMode !== 'text');
  const modes = new Map(OWN.map(field => [field, field.inputMode]));
  const isOpen = field => field && modes.has(field) && !field.disabled && !field.readOnly;

  let last = null; // the field that was typed in last at this stop
  article.addEventListener('focusin', event => {
    if (modes.has(event.target)) last = event.target;
    else if (event.target.matches('input.typed')) last = null;
    if (view.on() && view.at()) view.bring();
  });
  /** The field that the keys type in. */
  function field() {
    const stop = view.at();
    const here = one => stop.here.some(element => element.contains(one));
    if (isOpen(last) && here(last)) return last;
    const first = view.firstPlace();
    return isOpen(first) && here(first) ? first : null;
  }

  function change(edit) {
    const into = field();
    if (!into) return;
    edit(into);
    into.dispatchEvent(new Event('input', { bubbles: true }));
    if (document.activeElement !== into) into.focus({ preventScroll: true });
  }
  const put = sign => () =>
    change(into =>
      into.setRangeText(sign, into.selectionStart, into.selectionEnd, 'end'),
    );
  const minus = () =>
    change(into => {
      into.value = /^[-−]/.test(into.value) ? into.value.slice(1) : '-' + into.value;
    });
  const back = () =>
    change(into => {
      const { selectionStart: start, selectionEnd: end, value } = into;
      if (value === 'OL') into.value = '';
      else into.setRangeText('', start === end ? Math.max(0, start - 1) : start, end, 'end');
    });
  const key = (sign, press, spoken, more = '') =>
    button(sign, press, { class: 'pad-key' + more, 'aria-label': spoken });
  const overload = key('OL', put('OL'), 'Overload');
  const main = button('Next', () => view.main(), { class: 'pad-main' });
  const digit = sign => key(sign, put(sign));
  const keys = [
    ...['7', '8', '9'].map(digit),
    key('−', minus, 'Change the sign'),
    ...['4', '5', '6'].map(digit),
    key('⌫', back, 'Delete the last sign'),
    ...['1', '2', '3'].map(digit),
    overload,
    digit('0'),
    key('.', put('.'), 'Decimal point'),
  ];
  const element = make('div', { class: 'pad', role: 'group', 'aria-label': 'Keys' }, ...keys, main);
  // the field keeps the focus, and so the place where it is typed
  element.addEventListener('mousedown', event => event.preventDefault());
  article.append(element);

  view.pad = {
    element,
    main,
    /** While the view is on, no keyboard of the phone comes up for a number. */
    takeOver(on) {
      modes.forEach((mode, one) => {
        one.inputMode = on ? 'none' : mode;
      });
    },
  };
  view.shown.push(stop => {
    if (!stop) return;
    const into = field();
    const typing = document.activeElement;
    const letters = typing && typing.matches('input.typed') && !modes.has(typing);
    const { words, disabled } = view.mainKey();
    element.classList.toggle('numbers', Boolean(into) && !letters);
    shutOverload(into);
    main.textContent = words;
    main.hidden = words === '';
    main.disabled = Boolean(disabled);
  });

  // at once, so that it goes over nothing
  article.addEventListener('input', event => view.on() && shutOverload(event.target));
  function shutOverload(into) {
    overload.disabled = !into || into.value !== '' || !into.matches('input.reads, .after input');
  }

  // ---------------------------------------------------------------- the bar

  const alive = make('b', { class: 'live', hidden: true }, 'live');
  const list = make('div', { class: 'view-list', hidden: true });
  const open = button('List', () => showList(list.hidden), {
    class: 'small',
    'aria-expanded': 'false',
    'aria-label': 'List of groups',
  });
  const part = make(
    'div',
    { class: 'view-bar' },
    open,
    button('Page', () => view.leave(), { class: 'small', 'aria-label': 'The whole page' }),
  );
  const previous = button('‹', () => view.move(-1), {
    class: 'small view-back',
    'aria-label': 'Back one step',
  });
  bar.querySelector('.line-two').append(previous, part);
  bar.querySelector('.so-far').prepend(alive);
  bar.append(list);

  function to(words, stop, disabled) {
    const go = () => {
      showList(false);
      view.show(stop);
    };
    return button(words, go, { disabled });
  }
  function showList(yes) {
    list.hidden = !yes;
    open.setAttribute('aria-expanded', String(yes));
    if (!yes) return;
    const { data, fields } = sheet;
    const rows = sheet.groups.map(group => {
      const held = record.heldAt(data, group, fields);
      const left = view.stops.filter(one => one.group === group && view.isUndone(one)).length;
      const words = `${group.group} ${group.title}`;
      const state = held ? `shut: hold before group ${held.group}` : left ? '' : '✓ done';
      const row = to(words, view.stops.find(one => one.group === group), Boolean(held));
      row.append(make('small', {}, state));
      return row;
    });
    const first = view.stops.find(one => one.kind === 'head');
    const end = view.stops.find(one => one.kind === 'end');
    list.replaceChildren(
      to('Before the first group', first),
      ...rows,
      to('Verdict and signatures', end),
      ...view.settings(),
    );
  }
  view.settings = () => [];

  let before = null;
  view.shown.push(stop => {
    if (stop !== before) showList(false);
    before = stop;
    if (!stop) return bar.classList.remove('is-live');
    const [live] = record.live(sheet.data, sheet.fields);
    alive.hidden = !(live && stop.group && live.group === stop.group.group);
    bar.classList.toggle('is-live', Boolean(live));
  });
})();
