/* The rows of checks without numbers: good, not good or not on this meter, and what is written
 * down. */
(function () {
  'use strict';
  const { make, record, sheet } = Bench;
  const { PASS, FAIL } = Bench.tables.outcomes;
  const WORDS = { yes: 'good', no: 'not good', [record.NOT_HERE]: record.NOT_HERE };
  const SIGNS = { yes: '✓ ', no: '✗ ', [record.NOT_HERE]: '' };

  document.querySelectorAll('table.checks tbody tr').forEach(row => {
    const step = row.querySelector('td.step').firstChild.textContent.trim();
    const check = sheet.data.checks.find(one => one.step === step);
    if (check) checkRow(row, check);
  });

  function checkRow(row, check) {
    const { step } = check;
    const name = 'check/' + step;
    const within = row.querySelector('td.within');
    const marks = [...within.querySelectorAll('.mark')];
    const blank = row.querySelector('td.write');
    const tickBox = row.querySelector('td.tick input');

    // data that were written without it have two answers
    const answers = check.always === false ? Object.keys(WORDS) : ['yes', 'no'];
    const answered = (event, answer) => {
      const taken = sheet.text(name) === answer;
      record.answer(check, answer, sheet.fields, sheet.set);
      if (answer === record.NOT_HERE && !taken) return by.focus();
      if (taken || event.detail !== 0) return; // a touch finds its next place itself
      const write = blank && blank.querySelector('input');
      if (write && write.value === '') sheet.focusOn(write);
      else sheet.goOn(buttons[1]);
    };
    const buttons = answers.map(answer =>
      Bench.button(SIGNS[answer] + WORDS[answer], event => answered(event, answer), {
        class: 'answer',
        'aria-pressed': 'false',
        'aria-label': `Step ${step}, ${check.check}: ${WORDS[answer]}`,
        'data-holds': record.isHeldFor(sheet.data, check),
      }),
    );
    const by = sheet.input(name + '/by', `Step ${step}: initials of who says so`);
    by.className = 'typed line';
    const initials = make('label', { class: 'initials' }, 'Initials: ', by);
    const before = make('small', { class: 'answered' });
    within.append(make('span', { class: 'answers' }, ...buttons), initials, before);
    if (blank) {
      const unit = check.unit ? ', ' + check.unit : '';
      const field = sheet.input(name + '/write', `${check.check}, ${check.write}${unit}`);
      field.className = 'typed';
      sheet.onEnter(field, () => sheet.goOn(field));
      blank.append(field);
    }
    if (tickBox) tickBox.disabled = true; // ticked by an answer
    sheet.shown.push(() => {
      const answer = sheet.text(name);
      const said = record.said(check, sheet.fields);
      row.dataset.outcome = said === 'no' ? FAIL : said ? PASS : '';
      buttons.forEach((button, n) =>
        button.setAttribute('aria-pressed', String(answer === answers[n])),
      );
      marks.forEach((mark, n) => mark.classList.toggle('ticked', answer === answers[n]));
      initials.hidden = answer !== record.NOT_HERE;
      const earlier = record.answers(check, sheet.fields).slice(0, -1);
      before.textContent =
        (said === answer ? '' : 'The number is not what the check asks for: that is a no. ') +
        (earlier.length
          ? `Answered before: ${earlier.map(one => WORDS[one.answer]).join(', ')}.`
          : '');
      if (tickBox) tickBox.checked = answer !== '';
    });
  }
})();
