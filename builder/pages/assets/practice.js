/* One exercise a card: an answer, said to be sure or a guess, then the verdict and how the answer
 * comes about. Without this script the page is the whole sheet, and the answers are a page of their
 * own. */
(function () {
  'use strict';
  const { make, button, memory, practice } = Bench;
  const data = document.getElementById('practice');
  const all = [...document.querySelectorAll('fieldset.exercise')];
  if (!data || !all.length) return;
  const set = JSON.parse(data.textContent);
  const home = document.querySelector('.exercises');
  // '#kinds=judge,steps' leaves the others out
  const only = (/^#kinds=([\w,-]+)$/.exec(location.hash) || ['', ''])[1].split(',').filter(Boolean);
  const own = set.exercises
    .map((one, n) => ({ ...one, n, card: all[n] }))
    .filter(one => !only.length || only.includes(one.kind));
  const cards = own.length ? own : set.exercises.map((one, n) => ({ ...one, n, card: all[n] }));

  const progress = make('p', { class: 'going', role: 'status' });
  const end = make('div', { class: 'told the-end', tabindex: '-1' });
  home.before(progress);
  home.after(end);
  let at = 0;
  let tries = [];
  let run = '';

  function show(n) {
    at = n;
    all.forEach(card => card.classList.toggle('away', n >= cards.length || card !== cards[n].card));
    end.hidden = n < cards.length;
    document.body.classList.toggle('under-way', n > 0 && n < cards.length);
    document.body.classList.toggle('at-the-end', n === cards.length);
    const done = tries.filter(Boolean);
    const right = done.filter(one => one.right).length;
    const so = done.length ? `, ${right} of ${done.length} right so far` : '';
    progress.textContent =
      n < cards.length ? `Exercise ${n + 1} of ${cards.length}${so}.` : `All ${cards.length} done.`;
    if (n === cards.length)
      practice.finish({ end, set, cards, tries, run, again: anew });
  }

  function go(n) {
    show(n);
    const to = n < cards.length ? cards[n].card : end;
    to.focus({ preventScroll: true });
    progress.scrollIntoView({ block: 'center' });
  }

  // ---- one card
  function prepare(one, n) {
    const { card, unit, minus } = one;
    const told = make('div', { class: 'told', role: 'status', tabindex: '-1' });
    const row = make('div', { class: 'actions' });
    card.tabIndex = -1;
    const fields = [...card.querySelectorAll('.to-type .line')].map(line => {
      const input = make('input', {
        class: 'typed',
        type: 'text',
        inputmode: 'decimal',
        autocomplete: 'off',
        autocapitalize: 'off',
        spellcheck: 'false',
      });
      line.after(input);
      return input;
    });
    const sign = minus ? signKey(fields) : null;
    const tapped = card.querySelector('.to-order') ? practice.tapped(card) : null;
    const radios = [...card.querySelectorAll('input[type=radio]')];
    radios.forEach(radio => {
      radio.checked = false;
      radio.disabled = false;
    });
    const given = () =>
      tapped
        ? tapped.order()
        : fields.length
          ? fields.map(field => field.value)
          : radios.findIndex(radio => radio.checked);

    async function check(sure) {
      let known;
      try {
        known = (await practice.load(set))[one.n];
      } catch (error) {
        return told.replaceChildren(make('p', {}, error.message));
      }
      const judged = practice.judged(known, unit, given());
      if (judged.again) return told.replaceChildren(make('p', {}, judged.again));
      tries[n] = { kind: one.kind, right: judged.right, mistake: judged.mistake, sure, n: one.n };
      memory.done({
        ...tries[n],
        seed: set.seed,
        edition: set.edition,
        run,
        of: cards.length,
      });
      told.replaceChildren(...practice.told(known, judged, sure));
      [...fields, ...radios].forEach(field => (field.disabled = true));
      if (tapped) tapped.lock();
      mark(radios, known, given());
      row.remove();
      if (sign) sign.remove();
      const next = button(n + 1 < cards.length ? 'Next exercise' : 'How it went', () => go(n + 1));
      next.className = 'go';
      told.after(make('div', { class: 'actions after' }, next));
      show(n);
      told.focus({ preventScroll: true });
      told.scrollIntoView({ block: 'nearest' });
    }

    const sure = button('Check: I am sure', () => check(true), { class: 'go' });
    const guess = button('Check: a guess', () => check(false), { class: 'go' });
    const skip = button('Leave it out', () => go(n + 1), { class: 'all' });
    row.append(sure, guess, skip);
    card.append(row, told);
    fields.forEach((field, k) =>
      field.addEventListener('keydown', event => {
        if (event.key !== 'Enter') return;
        event.preventDefault();
        (fields[k + 1] || sure).focus();
      }),
    );
  }

  /* The keys for numbers of some phones have no minus. */
  function signKey(fields) {
    let last = fields[0];
    fields.forEach(field => field.addEventListener('focus', () => (last = field)));
    const key = button('+/−', () => {
      const { value } = last;
      last.value = /^\s*[-−]/.test(value) ? value.replace(/[-−]/, '') : '−' + value;
      last.focus();
    });
    key.className = 'sign';
    key.setAttribute('aria-label', 'Change the sign');
    fields[fields.length - 1].closest('.to-type').append(' ', key);
    return key;
  }

  function mark(radios, known, chosen) {
    radios.forEach((radio, k) => {
      const note = k === known.right ? 'right' : k === chosen ? 'yours' : '';
      const place = radio.closest('tr') ? radio.closest('tr').cells[1] : radio.closest('label');
      if (note) place.append(' ', make('i', { class: 'note-of' }, note));
    });
  }

  /** What is said of an answer. */
  practice.told = function (known, judged, sure) {
    const list = lines => make('ul', {}, ...lines.map(line => make('li', {}, line)));
    const said = judged.said ? ' ' + judged.said : '';
    const told = [make('p', {}, make('b', {}, judged.right ? 'Right.' : 'Not right.'), said)];
    if (judged.work && judged.work.length) told.push(list(judged.work));
    if (!judged.right) {
      const link = practice.link(judged.mistake);
      if (link) told.push(make('p', {}, sure ? 'You were sure, so read: ' : 'Read: ', link));
      told.push(make('p', {}, 'Right is ', make('b', {}, known.answer), '.'));
    }
    told.push(list(known.reasons));
    return told;
  };

  // ---- from the first exercise, or where a set was left today
  function begin(left) {
    const added = '.actions, .told, .to-type :is(input, .sign), .note-of, .to-tap, .order-heard';
    for (const one of home.querySelectorAll(added)) one.remove();
    tries = [];
    run = left ? left[0].run : `${new Date().toISOString()} ${set.seed}`;
    cards.forEach(prepare);
    if (left)
      for (const entry of left) tries[cards.findIndex(one => one.n === entry.n)] = entry;
    show(left ? Math.min(cards.length, tries.length) : 0);
  }

  function anew() {
    begin();
    go(0);
  }

  function leftToday() {
    const today = memory.today();
    const entries = memory
      .all()
      .filter(one => one.day === today && one.edition === set.edition && one.run);
    const last = entries.length ? entries[entries.length - 1].run : '';
    const left = entries.filter(one => one.run === last && one.of === cards.length);
    const known = left.every(one => cards.some(card => card.n === one.n));
    return left.length && known && left.length < cards.length ? left : null;
  }

  document.body.classList.add('practice-on');
  const left = leftToday();
  begin(left);
  if (left) {
    const first = button('From the first exercise', () => {
      first.remove();
      anew();
    });
    first.className = 'all';
    progress.after(first);
  }
})();
