/* One exercise a card: a try, then the verdict and how the answer comes about. Without this script
 * the page is the whole sheet, and the answers are a page of their own. */
(function () {
  'use strict';
  const { make, button } = Bench;
  const data = document.getElementById('practice');
  const cards = [...document.querySelectorAll('fieldset.exercise')];
  if (!data || !cards.length) return;
  const { seed, next, exercises } = JSON.parse(data.textContent);
  const home = document.querySelector('.exercises');

  // ---- what is typed, as an exact decimal without needless zeros: texts are compared, no number
  // is rounded
  Bench.typedDecimal = (text, unit) => {
    const bare = text.replace(/[−–]/g, '-').replace(/\s/g, '').replace(',', '.');
    const own = unit.replace(/\s/g, '');
    const plain = bare.endsWith(own) ? bare.slice(0, -own.length) : bare;
    const found = /^([+-]?)0*(\d*)(?:\.(\d*?)0*)?$/.exec(plain);
    if (!found || !/\d/.test(plain)) return null;
    const value = (found[2] || '0') + (found[3] ? '.' + found[3] : '');
    return (found[1] === '-' && /[1-9]/.test(value) ? '-' : '') + value;
  };

  const progress = make('p', { class: 'going', role: 'status' });
  const end = make('div', { class: 'told the-end', tabindex: '-1' });
  home.before(progress);
  home.after(end);
  let at = 0,
    tries = [];

  function show(n) {
    at = n;
    cards.forEach((card, k) => card.classList.toggle('away', k !== n));
    end.hidden = n < cards.length;
    const right = tries.filter(one => one.right).length;
    const so = tries.length ? `, ${right} of ${tries.length} right so far` : '';
    progress.textContent =
      n < cards.length ? `Exercise ${n + 1} of ${cards.length}${so}.` : `All ${cards.length} done.`;
    if (n === cards.length) finish(right);
  }

  function go(n) {
    show(n);
    const to = n < cards.length ? cards[n] : end;
    to.focus({ preventScroll: true });
    progress.scrollIntoView({ block: 'center' });
  }

  // ---- one card
  function prepare(card, n) {
    const known = exercises[n];
    const told = make('div', { class: 'told', role: 'status' });
    const row = make('div', { class: 'actions' });
    card.tabIndex = -1;
    const fields = [...card.querySelectorAll('.to-type .line')].map(line => {
      const input = make('input', {
        class: 'typed',
        type: 'text',
        inputmode: 'text',
        autocomplete: 'off',
        autocapitalize: 'off',
        spellcheck: 'false',
      });
      line.after(input);
      return input;
    });
    const radios = [...card.querySelectorAll('input[type=radio]')];
    radios.forEach(one => {
      one.checked = false;
      one.disabled = false;
    });
    const check = button('Check', () => {
      let chosen, said;
      if (known.fields) {
        const typed = fields.map(field => Bench.typedDecimal(field.value, known.unit));
        if (typed.includes(null))
          return told.replaceChildren(
            make('p', {}, `Type both readings as numbers in ${known.unit}.`),
          );
        chosen = known.fields.findIndex(pair =>
          pair.every((text, k) => Bench.typedDecimal(text, known.unit) === typed[k]),
        );
      } else {
        chosen = radios.findIndex(one => one.checked);
        if (chosen < 0) return told.replaceChildren(make('p', {}, 'Choose an answer first.'));
      }
      const right = chosen === known.right;
      tries[n] = { right, mistake: known.mistakes[chosen] || '' };
      if (right) said = [make('b', {}, 'Right.')];
      else if (chosen < 0)
        said = [make('b', {}, 'Not right.'), ' None of the common mistakes gives these readings.'];
      else said = [make('b', {}, `Not right: ${known.mistakes[chosen]}.`), ' ' + known.why[chosen]];
      told.replaceChildren(
        make('p', {}, ...said),
        ...(right ? [] : [make('p', {}, 'Right is ', make('b', {}, known.answer), '.')]),
        make('ul', {}, ...known.reasons.map(line => make('li', {}, line))),
      );
      [...fields, ...radios].forEach(one => {
        one.disabled = true;
      });
      radios.forEach((one, k) => {
        const note = k === known.right ? 'right' : k === chosen ? 'yours' : '';
        if (note)
          (one.closest('tr') ? one.closest('tr').cells[1] : one.closest('label')).append(
            ' ',
            make('i', { class: 'note-of' }, note),
          );
      });
      const on = button(n + 1 < cards.length ? 'Next exercise' : 'How it went', () => go(n + 1));
      on.className = 'go';
      row.replaceChildren(on);
      on.focus({ preventScroll: true });
      show(n);
      told.scrollIntoView({ block: 'nearest' });
    });
    check.className = 'go';
    row.append(check);
    card.append(row, told);
    for (const field of fields)
      field.addEventListener('keydown', event => {
        if (event.key === 'Enter') check.click();
      });
  }

  function finish(right) {
    const slips = tries.flatMap((one, n) =>
      one.right ? [] : [`Exercise ${n + 1}: ${one.mistake || 'no common mistake'}`],
    );
    const again = button('Once more', () => {
      clear();
      start();
      go(0);
    });
    end.replaceChildren(
      make('p', {}, make('b', {}, `Set ${seed}: ${right} of ${cards.length} right.`)),
      ...(slips.length
        ? [
            make('p', {}, 'What went wrong:'),
            make('ul', {}, ...slips.map(text => make('li', {}, text))),
          ]
        : []),
      make(
        'div',
        { class: 'actions' },
        make('a', { class: 'go', href: `${next}.html` }, `Set ${next}`),
        again,
        make('a', { class: 'all', href: '../practice.html' }, 'All sets'),
      ),
    );
  }

  function clear() {
    tries = [];
    for (const one of home.querySelectorAll('.actions, .told, .to-type input, .note-of'))
      one.remove();
  }
  function start() {
    cards.forEach(prepare);
    show(0);
  }
  document.body.classList.add('practice-on');
  start();
})();
