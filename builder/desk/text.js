/* A file as text at the desk: what would come of it is asked for as one types, and what fits at the
 * cursor when somebody wants to know. Without this script the buttons of the page do the same. */
(function () {
  'use strict';
  const { desk } = document.currentScript.dataset;
  const [text, fits, beside, ask, told] = ['text', 'fits', 'beside', 'ask', 'told'].map(
    (id) => document.getElementById(id));
  const [what, list] = fits.children;
  const SOON = 400; // after the last key
  const saved = 'unsaved' in text.dataset ? null : text.value;
  let timer = 0;
  let turn = 0;
  let asked = 0;

  const send = (page, more) => fetch(desk + page, { method: 'POST', body: new URLSearchParams({
    token: text.form.token.value, file: text.form.file.value, ...more }) });

  async function look() {
    turn += 1;
    const mine = turn;
    try {
      const answer = await send('beside', { text: text.value });
      const html = await answer.text();
      if (mine !== turn) return;
      if (answer.ok) beside.innerHTML = html;
      told.textContent = answer.ok ? beside.querySelector('h2').textContent : html;
    } catch (error) {
      told.textContent = 'The desk does not answer: copy what you typed before you leave.';
    }
  }

  // ---------- a problem's line
  beside.addEventListener('click', (event) => {
    const { line, column, length } = (event.target.closest('[data-line]') || text).dataset;
    if (!line) return;
    const before = text.value.split('\n').slice(0, line - 1);
    const start = before.join('').length + before.length + Number(column) - 1;
    text.focus();
    text.setSelectionRange(start, start + Number(length));
    text.scrollTop = (line - 4) * (text.scrollHeight / text.value.split('\n').length);
  });

  // ---------- what fits at the cursor
  let chosen = 0;
  function choose(to) {
    const all = [...fits.querySelectorAll('[role=option]')];
    chosen = (to + all.length) % all.length;
    all.forEach((one, n) => one.setAttribute('aria-selected', n === chosen));
    text.setAttribute('aria-activedescendant', `fit-${chosen}`);
    all[chosen].scrollIntoView({ block: 'nearest' });
  }
  function close() {
    fits.hidden = true;
    text.removeAttribute('aria-activedescendant');
  }
  function put(option) {
    close();
    text.focus();
    text.setSelectionRange(text.selectionStart - option.dataset.typed, text.selectionEnd);
    document.execCommand('insertText', false, option.dataset.word);
  }
  async function show() {
    asked += 1;
    const mine = asked;
    const [before, after] = [text.value.slice(0, text.selectionStart),
      text.value.slice(text.selectionEnd)];
    const answer = await send('fits', { before, after });
    if (!answer.ok || mine !== asked) return; // it was about another cursor
    const { words, typed, says } = await answer.json();
    what.textContent = says || (words.length ? '' : 'Nothing that is known fits here.');
    list.replaceChildren();
    words.forEach(([word, means], n) => {
      const option = document.createElement('div');
      option.append(Object.assign(document.createElement('b'), { textContent: word }), means);
      Object.assign(option.dataset, { word, typed });
      option.id = `fit-${n}`;
      option.setAttribute('role', 'option');
      list.append(option);
    });
    fits.hidden = false;
    if (words.length) choose(0);
  }
  fits.addEventListener('mousedown', (event) => {
    event.preventDefault(); // the text keeps the cursor
    const option = event.target.closest('[role=option]');
    if (option) put(option);
  });
  text.addEventListener('keydown', (event) => {
    if (event.ctrlKey && event.code === 'Space') show();
    else if (fits.hidden) return;
    else if (event.key === 'Escape') close();
    else if (!fits.querySelector('[role=option]')) return;
    else if (event.key === 'ArrowDown') choose(chosen + 1);
    else if (event.key === 'ArrowUp') choose(chosen - 1);
    else if (event.key === 'Enter') put(document.getElementById(`fit-${chosen}`));
    else return;
    event.preventDefault();
  });
  text.addEventListener('input', () => {
    clearTimeout(timer);
    timer = setTimeout(look, SOON);
    if (!fits.hidden) show();
  });
  ask.hidden = false;
  ask.addEventListener('click', () => {
    text.focus();
    show();
  });

  // ---------- what isn't saved isn't left by mistake
  let leaves = false;
  text.form.addEventListener('submit', () => { leaves = true; });
  addEventListener('beforeunload', (event) => {
    if (!leaves && text.value !== saved) event.preventDefault();
  });
})();
