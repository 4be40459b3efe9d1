/* What is asked of readings that need a word: whether the display shows what looks like a slip, why
 * one was changed after it stood, and why it was taken again. A `form` is as in gates.js. */
(function () {
  'use strict';
  const { rules, record, gates, make, put, button } = Bench;

  /** {parts, show}: `show` brings the parts up to date with the last try. */
  gates.asked = function (form, point) {
    const name = `point/${point.id}/`;
    let last = null;
    const shows = button(
      'The display shows this',
      () => form.set(`${name}${last.n}/confirmed`, 'yes'),
      { class: 'small' },
    );
    const cause = make(
      'select',
      { class: 'typed', 'aria-label': `Why step ${point.step} was read again` },
      make('option', { value: '' }, 'Read again: the worse counts'),
      ...record.VOIDS.map(one => make('option', { value: one }, `Void: ${one}`)),
    );
    cause.addEventListener('change', () => form.set(name + 'cause', cause.value));
    const { changed, showChanged } = changedReadings(form, point);
    const show = now => {
      last = now;
      put(shows, { hidden: !(last && last.slip) });
      put(cause, { hidden: form.text(name + '2') === '', value: form.text(name + 'cause') });
      showChanged();
    };
    show(null);
    return { parts: [shows, changed, cause], show };
  };

  /** The readings that were changed, each with its time, and why the last of them was. */
  function changedReadings(form, point) {
    const before = make('p', { class: 'changed-from' });
    const whys = Object.entries(record.WHY).map(([why, words]) =>
      button(words, () => record.sayWhy(point, last, why, form.fields, form.set), {
        class: 'small',
        'data-why': why,
        'aria-label': `Step ${point.step}, why the reading was changed: ${words}`,
      }),
    );
    let last = null;
    const asks = make('span', {});
    const changed = make('div', { class: 'changed' }, before, asks, ...whys);
    function showChanged() {
      const all = record.changedAt(form.data, point, form.fields);
      put(changed, { hidden: !all.length });
      if (!all.length) return;
      last = all[all.length - 1];
      before.replaceChildren('Changed: ', ...all.flatMap(said));
      asks.textContent = last.why === '?' ? 'Why? Until then the worse counts.' : '';
      for (const one of whys)
        one.setAttribute('aria-pressed', String(one.dataset.why === last.why));
    }
    return { changed, showChanged };
  }

  const said = (one, n) => [
    n ? '; ' : '',
    make('s', {}, rules.pretty(one.reading)),
    ` at ${one.time}${one.words && ', ' + one.words}`,
  ];

  /** What was confirmed is taken back where another reading is typed. */
  gates.unconfirm = (form, point, n, input) =>
    input.addEventListener('input', () => {
      const confirmed = `point/${point.id}/${n}/confirmed`;
      if (form.text(confirmed)) form.set(confirmed, '');
    });
})();
