/* A sheet while the desk serves it: what is typed in from finished paper is saved into
 * procedures/records/ as one writes. It loads the page anew when the site was built anew, but never
 * while somebody types in paper. */
(function () {
  'use strict';
  const { record, make, sheet } = Bench;
  const { token, desk, epoch } = document.currentScript.dataset;
  const SOON = 2000; // after the last key
  const LATE = 15000; // after the first one that isn't saved
  const AGAIN = 5000; // after a failure

  const isPaper = () => Boolean(sheet.kept) && record.fromPaper(sheet.fields);
  const said = make('p', { class: 'handed desk-saved', role: 'status' });
  const finish = make('a', { class: 'all' }, 'Finish it at the desk');
  const over = document.querySelector('.hand-over');
  if (over) over.append(finish, make('a', { class: 'all', href: desk }, 'Today at the desk'));
  sheet.bar.append(said);

  let saved = '';
  let first = 0;
  let timer = 0;
  let busy = false;
  function show(words, isSaved) {
    said.textContent = words;
    if (isSaved) finish.href = `${desk}finish?name=${sheet.kept.id}`;
    finish.hidden = !isSaved;
  }
  const content = () => JSON.stringify(record.file(sheet.kept, sheet.fields), null, 1) + '\n';

  async function save() {
    timer = 0;
    if (busy || !isPaper()) return;
    const text = content();
    if (text === saved) return;
    const refused = record.refused(sheet.data, sheet.fields);
    if (refused.length) return show(`Not saved at the desk yet: ${refused[0]}`, false);
    busy = true;
    first = 0;
    try {
      const body = new URLSearchParams({ token, record: text });
      const answer = await fetch(`${desk}record`, { method: 'POST', body });
      const words = await answer.text();
      if (answer.ok) saved = text;
      show(answer.ok ? words : `Not saved at the desk: ${words}`, answer.ok);
    } catch (error) {
      show('The desk does not answer: what you type is kept in this browser.', false);
      timer = setTimeout(save, AGAIN);
    }
    busy = false;
    if (!timer && saved === text && content() !== saved) later();
  }
  /** Whoever opened it to type in paper begins at once. */
  let led = false;
  function lead() {
    if (led || !record.fromPaper(sheet.fields)) return;
    led = true;
    if (document.activeElement === document.body) sheet.resume();
  }
  function later() {
    if (!led) setTimeout(lead);
    if (!sheet.fields.size || !isPaper()) return; // whichever field changes, it is asked again
    first = first || Date.now();
    clearTimeout(timer);
    timer = setTimeout(save, Math.max(0, Math.min(SOON, first + LATE - Date.now())));
  }
  sheet.shown.push(later);
  later();
  finish.hidden = true;
  // Through the head of finished paper as through its steps: Enter goes on.
  const head = [...document.querySelectorAll('.blanks:not(.verdict) input')];
  head.forEach((input, n) =>
    sheet.onEnter(input, () => isPaper() && (head[n + 1] ? head[n + 1].focus() : sheet.resume())),
  );
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'hidden') save();
  });

  async function follow() {
    try {
      for (;;) {
        const answer = await fetch(`/livereload/${epoch}/${Date.now()}`);
        if (!answer.ok) return;
        if (Number(await answer.text()) > Number(epoch)) break;
      }
    } catch (error) {
      return; // the server was ended
    }
    if (!isPaper()) location.reload();
  }
  if (epoch) follow();
})();
