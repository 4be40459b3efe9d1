/* The rows of points: the fields for up to two tries, what each reading was found to be, keys that
 * a phone's keyboard lacks, and a note. */
(function () {
  'use strict';
  const { rules, record, make, put, button, sheet } = Bench;
  const { data, text } = sheet;
  const { PASS, CONDITIONAL_PASS, CONDITIONAL_FAIL, FAIL } = Bench.tables.outcomes;
  const FIELDS = ['1', '2']
    .flatMap(n => [n, n + '/reference', n + '/after', n + '/confirmed'])
    .concat('note', 'cause', 'kept');
  const MARKS = { 2: [PASS, FAIL], 4: [PASS, CONDITIONAL_PASS, CONDITIONAL_FAIL, FAIL] };

  const announce = make('p', { class: 'heard', role: 'status', 'aria-live': 'polite' });
  document.body.append(announce);

  document.querySelectorAll('table.points tbody tr').forEach(row => {
    const point = sheet.points.get(row.id);
    if (point) pointRow(row, point);
  });

  const failed = one => record.failed(one.result.outcome);

  /** The reference reading with what its certificate adds, and what the meter may then read. */
  function summed(corrected) {
    if (!corrected) return '';
    const [value, low, high] = [corrected.value, corrected.low, corrected.high].map(
      one => one && rules.pretty(one),
    );
    return `corrected ${value}` + (low === null ? '' : `, accept ${low} to ${high}`);
  }

  function pointRow(row, point) {
    const name = `point/${point.id}/`;
    const unit = rules.pretty('0 ' + rules.display(point).unit).slice(2);
    const within = row.querySelector('td.within');
    const cells = [...row.querySelectorAll('td.reading')];
    const subtract = point.correction === 'subtract' && point.kind !== 'zero';
    const reference = point.kind === 'reference';
    const twice = reference && point.reference.twice; // before the meter and after it
    const id = 'says-' + point.step.replace('.', '-');
    let second = false; // whether a second try was asked for
    let typing = null; // the field that is or was typed in

    // ---- the fields

    const reads = (field, label) => {
      const input = sheet.input(name + field, label, {
        inputmode: 'decimal',
        enterkeyhint: 'next',
        'aria-describedby': id,
        class: 'typed reads',
      });
      sheet.onEnter(input, () => {
        typing = input;
        next();
      });
      Bench.gates.unconfirm(sheet, point, field[0], input);
      input.addEventListener('change', () => {
        const last = lastTry();
        if (!last) return;
        const { verdict, rest } = record.says(last.result);
        const words = `${verdict}, ${rest}`;
        announce.textContent = `Step ${point.step}: ${words}`;
      });
      input.addEventListener('focus', () => {
        typing = input;
        sheet.atHand(row);
      });
      return input;
    };
    const boxed = (which, input) =>
      make(
        'span',
        { class: 'try' },
        make('small', { class: 'which' }, which),
        input,
        make('span', { class: 'u' }, unit),
      );
    const tries = ['1', '2'].map(n => {
      const which = n === '2' ? 'second try' : '';
      const at = `at step ${point.step}, ${unit}${which && ', ' + which}`;
      const field = reads(n, `Reading ${at}`);
      const others = (reference ? ['/reference', ...(twice ? ['/after'] : [])] : []).map(
        (name, k) => {
          const when = twice ? ['before', 'after'][k] : '';
          const spoken = when && ` ${when} the meter`;
          const input = reads(n + name, `Reading of the reference meter${spoken} ${at}`);
          return { input, box: boxed([when, which].filter(Boolean).join(', '), input) };
        },
      );
      const beside = make('span', { class: 'beside' }, ...others.map(other => other.box));
      return { field, others, beside, box: boxed(which, field) };
    });
    const [firstTry, secondTry] = tries;
    cells[0].append(firstTry.box, secondTry.box);
    if (reference) cells[1].append(...tries.map(one => one.beside));
    const worked = subtract || reference ? make('output', { class: 'worked' }) : null;
    if (worked) cells[cells.length - 1].prepend(worked);
    const sum = reference && point.reference.correction ? make('output', { class: 'sum' }) : null;
    if (sum) cells[1].append(sum);

    // ---- the verdict and the keys

    const next = () => sheet.goOn(typing || firstTry.field);
    const key = (label, spoken, change) =>
      button(
        label,
        () => {
          const field =
            typing && !typing.readOnly
              ? typing
              : (text(name + '2') || second ? secondTry : firstTry).field;
          field.value = change(field.value);
          field.dispatchEvent(new Event('input'));
          field.focus();
        },
        { class: 'key', 'aria-label': spoken },
      );
    const says = make('output', { class: 'says', id, 'aria-live': 'off' });
    const [verdictSaid, restSaid] = [make('b'), make('span')];
    const worseSaid = make('span', { class: 'worse' }, 'The worse reading counts.');
    const again = button(
      'Try once more',
      () => {
        second = true;
        sheet.refresh();
        secondTry.field.focus();
      },
      { class: 'small again' },
    );
    const noteField = sheet.input(name + 'note', `Note at step ${point.step}`);
    noteField.className = 'typed wide';
    noteField.hidden = true;
    const note = button(
      'Note',
      () => {
        noteField.hidden = !noteField.hidden;
        note.setAttribute('aria-expanded', String(!noteField.hidden));
        if (!noteField.hidden) noteField.focus();
      },
      { class: 'small', 'aria-expanded': 'false' },
    );
    const keys = make(
      'span',
      { class: 'keys' },
      key('OL', 'Overload', () => 'OL'),
      note,
      key('/', 'Flickers: now the other extreme', typed =>
        typed.includes('/') ? typed : typed + '/',
      ),
      key('±', 'Change the sign', typed => (/^[-−]/.test(typed) ? typed.slice(1) : '-' + typed)),
      button('Next', next, { class: 'key next' }),
    );
    const asked = Bench.gates.asked(sheet, point);
    within.append(says, ...asked.parts, keys, again, noteField);
    sheet.starting.push(() => {
      second = false;
      noteField.hidden = true;
    });
    const tickBox = row.querySelector('td.tick input');
    if (tickBox) tickBox.disabled = true; // ticked by a reading

    // ---- bringing the row up to date

    const lastTry = () => {
      const all = record.tries(data, point, sheet.fields);
      return all[all.length - 1];
    };
    const zero = `point/${point.zero}/`;
    const typed = () =>
      JSON.stringify([
        point.id,
        ...FIELDS.map(field => text(name + field)),
        point.zero && [text(zero + '1'), text(zero + '2'), text(zero + 'kept')],
        second,
      ]);
    let before = null;
    sheet.shown.push(() => {
      const now = typed();
      if (now === before) return; // most rows stay as they are with each key
      before = now;
      const all = record.tries(data, point, sheet.fields);
      const last = all[all.length - 1];
      const counted = record.worst(all);
      const outcome = last ? (counted || last).result.outcome : '';
      if (row.dataset.outcome !== outcome) row.dataset.outcome = outcome;
      asked.show(last);
      showTries(all, last);
      say(last, counted);
      if (worked) {
        const { error = null, read } = last ? last.result : {};
        const found = error === null ? '' : rules.pretty(reference ? error : read);
        put(worked, { textContent: found });
      }
      if (sum) put(sum, { textContent: summed(last && last.result.corrected) });
      if (tickBox) tickBox.checked = record.DONE.includes(outcome);
      const marks = within.querySelectorAll('.mark');
      marks.forEach((mark, n) =>
        mark.classList.toggle('ticked', MARKS[marks.length][n] === outcome),
      );
      const noted = text(name + 'note') !== '';
      note.classList.toggle('has', noted);
      if (noted) noteField.hidden = false;
      note.setAttribute('aria-expanded', String(!noteField.hidden));
    });

    function say(last, counted) {
      if (!last) return says.replaceChildren();
      const { verdict, chip, rest } = record.says(last.result);
      put(verdictSaid, { textContent: verdict, className: chip || '' });
      put(restSaid, { textContent: rest, hidden: !rest });
      const isDone = record.DONE.includes(last.result.outcome);
      put(worseSaid, { hidden: !counted || counted === last || !isDone });
      if (!says.firstChild) says.append(verdictSaid, ' ', restSaid, ' ', worseSaid);
    }

    function showTries(all, last) {
      const secondTyped = text(name + '2') !== '';
      const full = all.length >= record.MOST_TRIES;
      const hidden = !second && !secondTyped;
      for (const part of [secondTry.box, secondTry.beside]) put(part, { hidden });
      // The first try stays as it was once a second one is written.
      const inputs = one => [one.field, ...one.others.map(other => other.input)];
      for (const field of inputs(firstTry)) put(field, { readOnly: full || secondTyped });
      for (const field of inputs(secondTry)) put(field, { readOnly: full });
      put(again, { hidden: full || second || secondTyped || !last || !failed(last) });
    }
  }
})();
