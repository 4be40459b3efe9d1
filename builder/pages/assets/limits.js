/* Limits of any value: meter → function → value (→ frequency, range, reading), the same rules as
 * the builder's, shareable as an address. The meter that was asked about last is remembered. */
(function () {
  'use strict';
  const { rules, make } = Bench;
  const form = document.getElementById('limits');
  if (!form) return;
  const shop = JSON.parse(document.getElementById('meters').textContent);
  const answer = document.getElementById('answer');
  const best = document.getElementById('best');
  const { meter, function: which, value, frequency, range, reading } = form.elements;
  const typed = { value, frequency, reading };
  const REMEMBERED = 'limits-meter';
  let strange = ''; // what the address names and this page doesn't have

  // ---- meters come one by one, as scripts, which a page opened from a folder may load too
  const heard = new Map();
  const loading = new Map();
  Bench.meter = data => heard.set(data.meter, data);
  function load(id) {
    if (!loading.has(id))
      loading.set(
        id,
        new Promise((resolve, reject) => {
          const script = document.createElement('script');
          const done = () => (heard.has(id) ? resolve(heard.get(id)) : reject(new Error(id)));
          script.src = `data/meters/${id}.js`;
          script.onload = script.onerror = done;
          document.body.append(script);
        }).catch(error => {
          loading.delete(id); // it may be there at the next try
          throw error;
        }),
      );
    return loading.get(id);
  }

  const options = (select, texts, labels) =>
    select.replaceChildren(...texts.map((text, n) => make('option', { value: text }, labels[n])));
  const functionsHere = () =>
    (shop.find(one => one.meter === meter.value) || { functions: [] }).functions;
  const chosen = () => functionsHere().find(one => one.function === which.value);

  function functions() {
    const own = functionsHere().map(one => one.function);
    const before = which.value;
    options(which, own, own);
    if (own.includes(before)) which.value = before;
    fields();
  }

  function fields() {
    const one = chosen(),
      names = (one && one.by_hand && one.ranges.length > 1 && one.ranges) || [];
    form.querySelector('.frequency').hidden = !(one && one.needs_frequency);
    form.querySelector('.range').hidden = !names.length;
    const before = range.value;
    options(
      range,
      ['', ...names],
      [one && one.manual ? 'lowest that fits' : 'automatic', ...names.map(rules.pretty)],
    );
    if (names.includes(before)) range.value = before;
    value.placeholder = one ? 'such as 3 ' + rules.pretty('0 ' + one.unit).slice(2) : '';
    frequency.placeholder = 'such as 50 Hz';
  }

  function remember() {
    try {
      localStorage.setItem(REMEMBERED, meter.value);
    } catch (error) {
      /* a device that keeps nothing */
    }
  }

  function remembered() {
    try {
      return localStorage.getItem(REMEMBERED);
    } catch (error) {
      return null;
    }
  }

  let turn = 0;
  async function show() {
    const mine = ++turn;
    const one = chosen();
    best.replaceChildren();
    if (strange) return answer.replaceChildren(make('p', { class: 'refused' }, strange));
    if (!one || !value.value.trim())
      return answer.replaceChildren(make('p', {}, 'Type a value with its unit.'));
    const hertz = one.needs_frequency ? frequency.value.trim() : '';
    const address = new URLSearchParams({
      meter: meter.value,
      function: one.function,
      value: value.value.trim(),
      ...(hertz && { frequency: hertz }),
      ...(range.value && { range: range.value }),
      ...(reading.value.trim() && { reading: reading.value.trim() }),
    });
    try {
      history.replaceState(null, '', '#' + address);
    } catch (error) {
      /* a page opened as a file */
    }
    let data;
    try {
      data = await load(meter.value);
    } catch (error) {
      return (
        mine === turn &&
        answer.replaceChildren(
          make(
            'p',
            { class: 'trouble' },
            'This meter’s table isn’t on this device, and there is no network.',
          ),
        )
      );
    }
    if (mine !== turn) return;
    const found = rules.limits(data, one.function, value.value, hertz || undefined, {
      range: range.value || undefined,
      reading: reading.value,
    });
    if (found.refused)
      answer.replaceChildren(
        make(
          'p',
          { class: 'refused' },
          make('b', {}, 'No limits: '),
          found.refused.sentence + '.',
          found.refused.hint ? ' ' + found.refused.hint + '.' : '',
        ),
      );
    else
      answer.replaceChildren(
        make(
          'p',
          { class: 'big' },
          make('b', {}, rules.pretty(found.low)),
          ' to ',
          make('b', {}, rules.pretty(found.high)),
        ),
        make(
          'p',
          {},
          `on the ${rules.pretty(found.range)} range, ${within(found)}, ` +
            'tolerance only',
        ),
        ...(found.reads ? [verdict(found.reads)] : []),
        make('ul', { class: 'came' }, ...found.lines.map(line => make('li', {}, line))),
      );
    if (shop.length < 2) return;
    best.replaceChildren(
      Bench.button('Which meter measures this value best?', () => compare(one.kind, hertz)),
    );
  }

  const within = one =>
    one.tolerance
      ? `± ${rules.pretty(one.tolerance)}`
      : `+${rules.pretty(one.tolerance_above)} −${rules.pretty(one.tolerance_below)}`;

  const verdict = ({ within, sentence }) =>
    make(
      'p',
      { class: within === null ? 'trouble' : 'reads' },
      make('b', {}, within === null ? 'No verdict: ' : within ? '✓ ' : '✗ '),
      sentence + '.',
    );

  async function compare(kind, hertz) {
    const mine = turn;
    const all = await Promise.allSettled(
      shop.filter(one => one.functions.some(f => f.kind === kind)).map(one => load(one.meter)),
    );
    if (mine !== turn) return;
    const list = rules.best(
      all.filter(one => one.status === 'fulfilled').map(one => one.value),
      kind,
      value.value,
      hertz || undefined,
    );
    best.replaceChildren(
      make(
        'h2',
        {},
        `${kind}, ${value.value.trim()}${hertz ? ' at ' + hertz : ''}: the tightest first`,
      ),
      make(
        'ol',
        {},
        ...list.map(one =>
          make(
            'li',
            {},
            make('b', {}, `${one.meter}, ${one.function}`),
            one.refused
              ? `: ${one.refused.sentence}`
              : `: ${within(one)} on the ${rules.pretty(one.range)} range`,
          ),
        ),
      ),
    );
  }

  function fromAddress() {
    const asked = new URLSearchParams(location.hash.slice(1));
    // Picks what the address names; says so where it isn't there, and then shows no numbers.
    const pick = (select, name, says) => {
      const wanted = asked.get(name);
      if (wanted === null || strange) return;
      if ([...select.options].some(one => one.value === wanted)) select.value = wanted;
      else strange = says(wanted.slice(0, 60));
    };
    strange = '';
    pick(meter, 'meter', name => `There is no meter “${name}” here. Choose one above.`);
    functions();
    pick(
      which,
      'function',
      name => `This meter has no function “${name}” with limits. Choose one above.`,
    );
    fields();
    pick(range, 'range', name => `This function has no range “${name}”. Choose one above.`);
    for (const [name, field] of Object.entries(typed)) field.value = asked.get(name) || field.value;
    show();
  }

  options(
    meter,
    shop.map(one => one.meter),
    shop.map(one => one.name),
  );
  if (shop.some(one => one.meter === remembered())) meter.value = remembered();
  form.hidden = false;
  form.addEventListener('submit', event => event.preventDefault());
  const again = update => () => {
    strange = '';
    update();
    show();
  };
  meter.addEventListener(
    'change',
    again(() => {
      remember();
      functions();
    }),
  );
  which.addEventListener('change', again(fields));
  range.addEventListener(
    'change',
    again(() => {}),
  );
  for (const field of Object.values(typed)) field.addEventListener('input', show);
  window.addEventListener('hashchange', fromAddress);
  fromAddress();
})();
