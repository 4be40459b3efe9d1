/* The rows of checks without numbers: good or not, and what is written down. */
(function () {
  'use strict';
  const { make, sheet } = Bench;
  const { PASS, FAIL } = Bench.tables.outcomes;
  const ANSWERS = ['yes', 'no'];

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

    const answered = (event, answer) => {
      const taken = sheet.text(name) === answer;
      sheet.set(name, taken ? '' : answer);
      if (taken || event.detail !== 0) return; // a touch finds its next place itself
      const write = blank && blank.querySelector('input');
      if (write && write.value === '') sheet.focusOn(write);
      else sheet.goOn(buttons[1]);
    };
    const buttons = ANSWERS.map(answer =>
      Bench.button(answer === 'yes' ? '✓ good' : '✗ not good', event => answered(event, answer), {
        class: 'answer',
        'aria-pressed': 'false',
        'aria-label': `Step ${step}, ${check.check}: ${answer === 'yes' ? 'good' : 'not good'}`,
      }),
    );
    within.append(make('span', { class: 'answers' }, ...buttons));
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
      row.dataset.outcome = answer === 'no' ? FAIL : answer === 'yes' ? PASS : '';
      buttons.forEach((button, n) =>
        button.setAttribute('aria-pressed', String(answer === ANSWERS[n])),
      );
      marks.forEach((mark, n) => mark.classList.toggle('ticked', answer === ANSWERS[n]));
      if (tickBox) tickBox.checked = answer !== '';
    });
  }
})();
