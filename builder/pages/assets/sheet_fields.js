/* A procedure's page at the bench: judges a reading as it is typed, keeps it, says how far the work
 * is, and hands it over. The page is complete without these scripts, which only add fields to the
 * cells that paper has too.
 *
 * This part ties inputs and tick boxes to the fields of the record that is being written. */
(function () {
  'use strict';
  const { store, record, make } = Bench;
  const carried = document.getElementById('procedure-data');
  const data = JSON.parse(carried.textContent);

  let fields = Bench.fieldsOf();
  const sheet = (Bench.sheet = {
    data,
    points: new Map(data.points.map(point => [point.id, point])),
    groups: data.groups
      .map(group => ({
        ...group,
        element: document.querySelector(`[data-group="${group.group}"]`),
      }))
      .filter(group => group.element),
    asBegun: 'asBegun' in carried.dataset, // made of a record, whose sheet is gone
    kept: null, // the record that is being written, once there is one
    get fields() {
      return fields; // of the record, as store.js has them
    },
    set fields(given) {
      fields = Bench.fieldsOf(given);
    },
    shown: [], // functions that bring one part of the page up to date
    starting: [], // functions that forget what belonged to another record
  });

  const text = (sheet.text = name => record.text(sheet.fields, name));
  /** Brings the page up to date: with the field `name`, or with all; while somebody is `typing`,
   * with what shows that field first. */
  sheet.refresh = (name, typing) => Bench.run(sheet.shown, name, typing);

  // The page's own view changes at once; the disk follows, each keystroke for itself.
  const set = (sheet.set = async function (name, value, typing) {
    const { fields } = sheet; // of the record that is written now
    const first = record.setFirst(data, name, value, fields);
    const lost = record.toTakeBack(data, name, value, fields);
    fields.set(name, { value, at: new Date().toISOString() });
    for (const one of first) set(...one, typing);
    if (lost) offer(lost);
    sheet.refresh(name, typing);
    const kept = await sheet.begin();
    // While a record begins keys may overtake each other: the last one counts.
    return store.set(kept.id, name, (fields.get(name) || { value }).value);
  });

  /** What the last change took away, for ten seconds: {name, value, words}, or null. */
  sheet.lost = null;
  let offered = 0;
  function offer(lost) {
    clearTimeout(offered);
    sheet.lost = lost;
    offered = setTimeout(() => {
      sheet.lost = null;
      sheet.refresh();
    }, 10000);
  }
  sheet.takeBack = function () {
    const { name, value } = sheet.lost;
    return set(name, value);
  };

  /** Today, where the device is. */
  sheet.localDate = () => {
    const now = new Date();
    return new Date(now - now.getTimezoneOffset() * 60000).toISOString().slice(0, 10);
  };

  /** An input whose text is a field of the record. */
  sheet.input = function (name, label, more) {
    const input = make('input', {
      type: 'text',
      placeholder: ' ',
      autocomplete: 'off',
      autocapitalize: 'off',
      spellcheck: 'false',
      'aria-label': label,
      ...more,
    });
    input.addEventListener('input', () => set(name, input.value, true));
    sheet.shown.push(() => {
      const typed = sheet.fields.has(name) ? String(sheet.fields.get(name).value) : '';
      if (input.value !== typed) input.value = typed;
    });
    return input;
  };

  /** Tick boxes of which at most one is ticked, as one field. */
  sheet.choice = function (name, boxes) {
    for (const box of boxes)
      box.addEventListener('change', () => set(name, box.checked ? box.value : ''));
    sheet.shown.push(() =>
      boxes.forEach(box => {
        box.checked = text(name) === box.value;
      }),
    );
  };

  sheet.tick = function (name, box) {
    box.addEventListener('change', () => set(name, box.checked ? 'yes' : ''));
    sheet.shown.push(() => {
      box.checked = text(name) === 'yes';
    });
  };

  /** Does `go` where Enter is pressed in an input. */
  sheet.onEnter = (input, go) =>
    input.addEventListener('keydown', event => {
      if (event.key !== 'Enter') return;
      event.preventDefault();
      go();
    });
})();
