/* A procedure's page at the bench: judges a reading as it is typed, keeps it, says how far the work is, and hands it over.
 * The page is complete without this script, which only adds fields to the cells that paper has too. */
(function () {
  'use strict';
  const Bench = window.Bench,
    { rules, store, record, make } = Bench;
  const holder = document.getElementById('procedure-data');
  if (!holder) return;
  const data = JSON.parse(holder.textContent);
  const points = new Map(data.points.map(point => [point.id, point]));

  let kept = null; // the record that is being written, once there is one
  let fields = new Map(); // its fields, as store.js has them
  const shown = []; // functions that bring one part of the page up to date
  const starting = []; // functions that forget what belonged to another record

  const text = name => record.text(fields, name);
  const refresh = () => shown.forEach(one => one());

  // ---------------------------------------------------------------- keeping

  let creating = null,
    started;
  const ready = new Promise(resolve => {
    started = resolve;
  });
  const begin = () => (kept ? Promise.resolve(kept) : (creating = creating || create()));
  async function create() {
    await ready; // else a key that was typed early would begin a second record
    if (!kept) {
      kept = await store.create({
        procedure: data.procedure,
        revision: data.revision,
        title: data.title,
        meter: data.meter,
        page: location.pathname,
        data,
      });
      remember();
      if (!text('date')) set('date', localDate());
      choose();
    }
    creating = null;
    return kept;
  }

  // The page's own view changes at once; the disk follows, each keystroke for itself.
  async function set(name, value) {
    fields.set(name, { value, at: new Date().toISOString() });
    refresh();
    const mine = fields,
      one = await begin();
    // While a record begins keys may overtake each other: the last one counts.
    return store.set(one.id, name, (mine.get(name) || { value }).value);
  }

  const localDate = () => {
    const now = new Date();
    return new Date(now - now.getTimezoneOffset() * 60000).toISOString().slice(0, 10);
  };
  // A link to a group takes the address's end, so a reload finds the record by its tab too.
  const TAB = 'bench-record ' + data.procedure;
  function remember() {
    try {
      history.replaceState(
        null,
        '',
        kept ? '#record=' + kept.id : location.pathname + location.search,
      );
    } catch (error) {
      /* a page opened as a file */
    }
    try {
      if (kept) sessionStorage.setItem(TAB, kept.id);
      else sessionStorage.removeItem(TAB);
    } catch (error) {
      /* a private window */
    }
  }

  /** An input whose text is a field of the record. */
  function input(name, label, more) {
    const element = make('input', {
      type: 'text',
      placeholder: ' ',
      autocomplete: 'off',
      autocapitalize: 'off',
      spellcheck: 'false',
      'aria-label': label,
      ...more,
    });
    element.addEventListener('input', () => set(name, element.value));
    shown.push(() => {
      const now = fields.has(name) ? String(fields.get(name).value) : '';
      if (element.value !== now) element.value = now;
    });
    return element;
  }

  /** Tick boxes of which at most one is ticked, as one field. */
  function choice(name, boxes) {
    for (const box of boxes)
      box.addEventListener('change', () => set(name, box.checked ? box.value : ''));
    shown.push(() =>
      boxes.forEach(box => {
        box.checked = text(name) === box.value;
      }),
    );
  }

  function tick(name, box) {
    box.addEventListener('change', () => set(name, box.checked ? 'yes' : ''));
    shown.push(() => {
      box.checked = text(name) === 'yes';
    });
  }

  // ---------------------------------------------------------------- the head, and the steps around groups

  document.querySelectorAll('[data-field]').forEach(cell => {
    const name = cell.dataset.field,
      boxes = [...cell.querySelectorAll('input[type=checkbox]')];
    if (boxes.length) return choice(name, boxes);
    const label = cell.textContent.replace(/\s+/g, ' ').trim();
    const line = cell.querySelector('.line');
    const field = input(name, label); // no date field: an empty one prints its own form of a date
    field.className = line ? 'typed line' : 'typed';
    if (line) line.after(field);
    else cell.append(field);
    cell.addEventListener('click', () => field.focus());
    if (name !== 'date') return;
    const wrong = make('small', { class: 'wrong', id: 'wrong-date' }, 'Write it as ' + localDate());
    field.setAttribute('aria-describedby', wrong.id);
    cell.append(wrong);
    shown.push(() => {
      const day = text(name),
        good = day === '' || (/^\d{4}-\d\d-\d\d$/.test(day) && !isNaN(new Date(day)));
      wrong.hidden = good;
      field.setAttribute('aria-invalid', String(!good));
    });
  });

  const groups = data.groups
    .map(group => ({ ...group, element: document.querySelector(`[data-group="${group.group}"]`) }))
    .filter(one => one.element);
  for (const group of groups) {
    for (const part of ['before', 'after']) {
      group.element.querySelectorAll(`.${part} ul.ticks li`).forEach((item, n) => {
        const box = item.querySelector('input[type=checkbox]'),
          line = item.querySelector('.line');
        const near = part === 'after' && line; // ticked by what it reads
        if (box && near) {
          box.disabled = true;
          shown.push(() => {
            box.checked = text('near_zero/' + group.group) !== '';
          });
        } else if (box) tick(`tick/${group.group}/${part}/${n}`, box);
        if (line) {
          const label = item.textContent.replace(/\s+/g, ' ').trim();
          const name = part === 'after' ? `near_zero/${group.group}` : `blank/${group.group}/${n}`;
          const field = input(name, label, { inputmode: 'decimal' });
          field.className = 'typed line';
          if (!near)
            field.addEventListener('change', () => {
              if (field.value.trim() && !box.checked)
                set(`tick/${group.group}/${part}/${n}`, 'yes');
            });
          // A field inside a label would tick its box with each touch.
          field.addEventListener('click', event => event.preventDefault());
          line.after(field);
        }
      });
    }
    if (!group.hazard) continue;
    const after = group.element.querySelector('.after');
    if (after) after.id = 'close-' + group.group;
    gate(group);
  }

  /** A live group opens once its warning was read, and only when no other one is still live. */
  function gate(group) {
    const button = make('button', {
      type: 'button',
      class: 'open-group',
      onclick: () => {
        record.begin(group, fields, set);
        goOn(button);
      },
    });
    const says = make('p', { class: 'gate' }, button);
    const place =
      group.element.querySelector('.before > div') || group.element.querySelector('.before');
    place.append(says);
    shown.push(() => {
      const stands = record.gate(data, group, fields);
      button.hidden = stands.hidden;
      button.disabled = stands.disabled;
      button.textContent = stands.button;
      says.classList.toggle('open', stands.opened);
      says.dataset.says = stands.says;
      group.element.querySelectorAll('input.reads').forEach(field => {
        field.disabled = stands.shut;
      });
    });
  }

  // ---------------------------------------------------------------- a point's row

  const announce = make('p', { class: 'heard', role: 'status', 'aria-live': 'polite' });
  document.body.append(announce);

  document.querySelectorAll('table.points tbody tr').forEach(row => {
    const point = points.get(row.id);
    if (point) pointRow(row, point);
  });

  function pointRow(row, point) {
    const unit = rules.pretty('0 ' + rules.display(point).unit).slice(2);
    const cells = [...row.querySelectorAll('td.reading')],
      within = row.querySelector('td.within');
    const subtract = point.correction === 'subtract' && point.kind !== 'zero',
      reference = point.kind === 'reference';
    const first = cells[0],
      last = cells[cells.length - 1];
    const id = 'says-' + point.step.replace('.', '-');
    const says = make('output', { class: 'says', id, 'aria-live': 'off' });
    const again = make(
      'button',
      {
        type: 'button',
        class: 'small again',
        onclick: () => {
          second = true;
          refresh();
          focus('2');
        },
      },
      'Try once more',
    );
    const note = make(
      'button',
      { type: 'button', class: 'small', 'aria-expanded': 'false' },
      'Note',
    );
    const noteField = input(`point/${point.id}/note`, `Note at step ${point.step}`);
    noteField.className = 'typed wide';
    note.addEventListener('click', () => {
      noteField.hidden = !noteField.hidden;
      note.setAttribute('aria-expanded', String(!noteField.hidden));
      if (!noteField.hidden) noteField.focus();
    });
    let second = false,
      at = null; // the field that is or was typed in
    starting.push(() => {
      second = false;
      noteField.hidden = true;
    });

    const next = () => goOn(at || tries[0].field);
    const reads = (name, label) => {
      const field = input(name, label, {
        inputmode: 'decimal',
        enterkeyhint: 'next',
        'aria-describedby': id,
        class: 'typed reads',
      });
      field.addEventListener('keydown', event => {
        if (event.key === 'Enter') {
          event.preventDefault();
          at = field;
          next();
        }
      });
      field.addEventListener('change', () => {
        const one = judged();
        if (one)
          announce.textContent = `Step ${point.step}: ${Object.values(record.says(one.result)).join(', ')}`;
      });
      field.addEventListener('focus', () => {
        at = field;
        atHand(row);
      });
      return field;
    };
    const key = (label, name, change) =>
      make(
        'button',
        {
          type: 'button',
          class: 'key',
          'aria-label': name,
          onclick: () => {
            const field =
              at && !at.readOnly
                ? at
                : (text(`point/${point.id}/2`) || second ? tries[1] : tries[0]).field;
            field.value = change(field.value);
            field.dispatchEvent(new Event('input'));
            field.focus();
          },
        },
        label,
      );
    const tries = ['1', '2'].map(n => {
      const which = n === '2' ? ', second try' : '';
      const field = reads(
        `point/${point.id}/${n}`,
        `Reading at step ${point.step}, ${unit}${which}`,
      );
      const other = reference
        ? reads(
            `point/${point.id}/${n}/reference`,
            `Reading of the reference meter at step ${point.step}, ${unit}${which}`,
          )
        : null;
      return {
        n,
        field,
        other,
        box: make(
          'span',
          { class: 'try' },
          make('small', { class: 'which' }, n === '2' ? 'second try' : ''),
          field,
          make('span', { class: 'u' }, unit),
        ),
      };
    });
    const keys = make(
      'span',
      { class: 'keys' },
      key('±', 'Change the sign', typed => (/^[-−]/.test(typed) ? typed.slice(1) : '-' + typed)),
      key('OL', 'Overload', () => 'OL'),
      note,
      make('button', { type: 'button', class: 'key next', onclick: next }, 'Next'),
    );
    const [one, two] = tries;
    const focus = n => tries[Number(n) - 1].field.focus();

    first.append(one.box, two.box);
    if (reference) {
      cells[1].append(
        ...tries.map(each =>
          make(
            'span',
            { class: 'try' },
            make('small', { class: 'which' }, each.n === '2' ? 'second try' : ''),
            each.other,
            make('span', { class: 'u' }, unit),
          ),
        ),
      );
    }
    const worked = subtract || reference ? make('output', { class: 'worked' }) : null;
    if (worked) last.prepend(worked);
    within.append(says, keys, again, noteField);
    noteField.hidden = true;

    const tickBox = row.querySelector('td.tick input');
    if (tickBox) tickBox.disabled = true; // ticked by a reading
    const judged = () => {
      const all = record.tries(data, point, fields);
      return all[all.length - 1];
    };

    let before = null;
    shown.push(() => {
      const now = JSON.stringify([
        point.id,
        text(`point/${point.id}/1`),
        text(`point/${point.id}/2`),
        text(`point/${point.id}/1/reference`),
        text(`point/${point.id}/2/reference`),
        point.zero && [text(`point/${point.zero}/1`), text(`point/${point.zero}/2`)],
        second,
        text(`point/${point.id}/note`),
      ]);
      if (now === before) return; // most rows stay as they are with each key
      before = now;
      const all = record.tries(data, point, fields),
        one_ = all[all.length - 1],
        outcome = one_ ? one_.result.outcome : '';
      const isSecond = second || text(`point/${point.id}/2`) !== '';
      two.box.hidden = !isSecond;
      if (two.other) two.other.parentElement.hidden = !isSecond;
      // The first try stays as it was once a second one is written.
      for (const field of [one.field, one.other])
        if (field) field.readOnly = text(`point/${point.id}/2`) !== '';
      again.hidden = isSecond || !record.failed(outcome);
      row.dataset.outcome = outcome;
      says.replaceChildren();
      if (one_) {
        const { verdict, rest } = record.says(one_.result);
        says.append(make('b', {}, verdict), rest && ' ', rest && make('span', {}, rest));
      }
      if (worked)
        worked.textContent =
          one_ && one_.result.error !== null
            ? rules.pretty(reference ? one_.result.error : one_.result.read)
            : '';
      if (tickBox)
        tickBox.checked = [
          'pass',
          'fail',
          'conditional pass',
          'conditional fail',
          'written down',
        ].includes(outcome);
      const marks = [...within.querySelectorAll('.mark')],
        words =
          marks.length === 4
            ? ['pass', 'conditional pass', 'conditional fail', 'fail']
            : ['pass', 'fail'];
      marks.forEach((mark, n) => mark.classList.toggle('ticked', words[n] === outcome));
      note.classList.toggle('has', text(`point/${point.id}/note`) !== '');
      if (text(`point/${point.id}/note`)) noteField.hidden = false;
      note.setAttribute('aria-expanded', String(!noteField.hidden));
    });
  }

  // ---------------------------------------------------------------- a check's row

  document.querySelectorAll('table.checks tbody tr').forEach(row => {
    const step = row.querySelector('td.step').firstChild.textContent.trim(),
      check = data.checks.find(one => one.step === step);
    if (!check) return;
    const within = row.querySelector('td.within'),
      marks = [...within.querySelectorAll('.mark')],
      blank = row.querySelector('td.write');
    const buttons = ['yes', 'no'].map(answer =>
      make(
        'button',
        {
          type: 'button',
          class: 'answer',
          'aria-pressed': 'false',
          'aria-label': `Step ${step}, ${check.check}: ${answer === 'yes' ? 'good' : 'not good'}`,
          onclick: event => {
            const taken = text('check/' + step) === answer;
            set('check/' + step, taken ? '' : answer);
            if (taken || event.detail !== 0) return; // a touch finds its next place itself
            const write = blank && blank.querySelector('input');
            if (write && write.value === '') focusOn(write);
            else goOn(buttons[1]);
          },
        },
        answer === 'yes' ? '✓ good' : '✗ not good',
      ),
    );
    within.append(make('span', { class: 'answers' }, ...buttons));
    if (blank) {
      const field = input(
        `check/${step}/write`,
        `${check.check}, ${check.write}${check.unit ? ', ' + check.unit : ''}`,
      );
      field.className = 'typed';
      field.addEventListener('keydown', event => {
        if (event.key === 'Enter') {
          event.preventDefault();
          goOn(field);
        }
      });
      blank.append(field);
    }
    const tickBox = row.querySelector('td.tick input');
    if (tickBox) tickBox.disabled = true;
    shown.push(() => {
      const answer = text('check/' + step);
      row.dataset.outcome = answer === 'no' ? 'fail' : answer === 'yes' ? 'pass' : '';
      buttons.forEach((button, n) =>
        button.setAttribute('aria-pressed', String(answer === ['yes', 'no'][n])),
      );
      marks.forEach((mark, n) => mark.classList.toggle('ticked', answer === ['yes', 'no'][n]));
      if (tickBox) tickBox.checked = answer !== '';
    });
  });

  // ---------------------------------------------------------------- moving on

  /* Where something can still be typed, ticked or pressed, in the order of the page. A key that is done goes to the next of
   * its group; behind the last one the next group's heading comes first, since warnings stand below it. */
  const visible = element =>
    element.checkVisibility ? element.checkVisibility() : element.offsetParent !== null;
  function ahead(group, from) {
    return [
      ...group.element.querySelectorAll(
        '.ticks input:not([disabled]), .open-group, input.reads, .answer:first-child, td.write input',
      ),
    ].find(
      one =>
        (!from || from.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING) &&
        !one.disabled &&
        !one.readOnly &&
        visible(one) &&
        undone(one),
    );
  }
  function undone(one) {
    const row = one.closest('tr');
    if (one.type === 'checkbox') return !one.checked;
    if (one.matches('.open-group'))
      return text('open/' + one.closest('[data-group]').dataset.group) === '';
    if (one.matches('.answer')) return row.dataset.outcome === '';
    if (one.matches('.reads'))
      return one.value === '' || !record.outcome(data, points.get(row.id), fields);
    return one.value === '' && (!row || row.dataset.outcome !== '');
  }

  function goOn(from) {
    const here = groups.find(one => one.element.contains(from)),
      found = here && ahead(here, from);
    if (found) return focusOn(found);
    const following = here ? groups[groups.indexOf(here) + 1] : groups.find(one => ahead(one));
    const heading = following
      ? document.getElementById('group-' + following.group)
      : document.querySelector('.blanks.verdict');
    heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
    heading.scrollIntoView({ block: 'start' });
  }
  function focusOn(one) {
    one.focus({ preventScroll: true });
    if (!one.matches('.reads')) one.scrollIntoView({ block: 'center' });
  }

  // Enter does at a step or a heading what a tap and a look for the next place do.
  document.addEventListener('keydown', event => {
    const at = event.target,
      group = groups.find(one => 'group-' + one.group === at.id);
    if (event.key !== 'Enter' || event.defaultPrevented) return;
    if (group) {
      const found = ahead(group);
      if (found) focusOn(found);
      else goOn(group.element);
    } else if (at.matches('.group .ticks input')) {
      if (at.type === 'checkbox' && !at.checked) at.click();
      goOn(at);
    } else return;
    event.preventDefault();
  });

  /** The row goes under the bar, so that the keyboard of a phone hides neither its limits nor its verdict. */
  function atHand(row) {
    document.querySelectorAll('tr[data-current]').forEach(one => {
      if (one !== row) delete one.dataset.current;
    });
    row.dataset.current = '';
    const now = groups.find(one => one.element.contains(row));
    if (now !== current) {
      current = now;
      bring();
      refresh();
    }
    below();
    bringUp(row);
  }
  const bringUp = row =>
    row.scrollIntoView({
      block: window.matchMedia('(max-width: 60rem)').matches ? 'start' : 'nearest',
    });

  let current = null;
  const progress = make('span', { class: 'progress' });
  const where = make('span', { class: 'at-group' });
  const resume = make(
    'button',
    {
      type: 'button',
      class: 'small',
      onclick: () => {
        const group = groups.find(one => ahead(one));
        if (group) focusOn(ahead(group));
        else goOn(document.body);
      },
    },
    'Go on',
  );
  const look = make(
    'button',
    {
      type: 'button',
      class: 'small look',
      'aria-expanded': 'false',
      hidden: true,
      onclick: () => {
        picture.hidden = !picture.hidden;
        look.setAttribute('aria-expanded', String(!picture.hidden));
        if (picture.hidden) return;
        const drawn = current.element.querySelector('svg.connection');
        picture.replaceChildren(
          make('p', {}, `Jacks: ${current.jacks.join(', ')}`),
          drawn ? drawn.cloneNode(true) : '',
        );
      },
    },
    'Leads',
  );
  const picture = make('div', { class: 'picture', hidden: true });
  const live = make('a', { class: 'still-live', hidden: true });
  const lost = make(
    'a',
    { class: 'not-kept', href: '#not-kept', hidden: true },
    'Not kept on this device: hand it over',
  );
  const bar = make(
    'div',
    { class: 'bench-bar', role: 'region', 'aria-label': 'How far this record is' },
    make(
      'div',
      { class: 'line-two' },
      make('div', { class: 'so-far' }, progress, where),
      resume,
      look,
    ),
    live,
    lost,
    picture,
  );
  document.querySelector('.sheet-head').before(bar);
  // What is scrolled to, by keys too, comes to rest below the bar.
  const header = document.querySelector('header');
  const below = () => {
    const top =
      header && /sticky|fixed/.test(getComputedStyle(header).position) ? header.offsetHeight : 0;
    bar.style.top = top + 'px';
    const stays = getComputedStyle(bar).position === 'sticky',
      room = top + (stays ? bar.offsetHeight : 0) + 6 + 'px',
      { style } = document.documentElement;
    if (style.scrollPaddingTop === room) return;
    style.scrollPaddingTop = room;
    const typing = document.activeElement && document.activeElement.closest('tr[data-current]');
    if (typing) bringUp(typing); // the bar has grown over it
  };
  if (window.ResizeObserver)
    [bar, header].filter(Boolean).forEach(one => new ResizeObserver(below).observe(one));
  else below();

  function bring() {
    where.textContent = current ? `${current.group} ${current.title}` : '';
    resume.hidden = Boolean(current);
    look.hidden = !(current && current.jacks.length);
    picture.hidden = true;
    look.setAttribute('aria-expanded', 'false');
  }

  shown.push(() => {
    progress.textContent = record.progress(data, fields).words;
    const still = record.live(data, fields)[0];
    const busy =
      still &&
      current &&
      current.group === still.group &&
      data.points.some(
        point => point.group === still.group && !record.outcome(data, point, fields),
      );
    live.hidden = !still || Boolean(busy);
    if (still) {
      live.href = '#close-' + still.group;
      live.textContent = `Group ${still.group} is still live: close it`;
    }
  });

  // ---------------------------------------------------------------- which record, and handing it over

  const trouble = make('p', { class: 'trouble', id: 'not-kept', role: 'alert', hidden: true });
  const listed = make('a', { class: 'all', href: '../in-progress.html' }, 'All in progress'); // from the start, so that the first key moves nothing
  const others = make('div', { class: 'others' }, listed);
  const said = make('p', { class: 'handed', role: 'status' });
  const over = make(
    'div',
    { class: 'hand-over' },
    make(
      'button',
      {
        type: 'button',
        onclick: async () => {
          await begin();
          said.textContent = await record.handOver(kept, fields, false);
        },
      },
      'Save the record as a file',
    ),
    navigator.canShare
      ? make(
          'button',
          {
            type: 'button',
            onclick: async () => {
              await begin();
              said.textContent = await record.handOver(kept, fields, true);
            },
          },
          'Share the record',
        )
      : '',
    make('button', { type: 'button', onclick: () => window.print() }, 'Print with these readings'),
    said,
  );
  bar.after(trouble, others);
  const verdict = document.querySelector('.blanks.verdict');
  const noted = make('p', { class: 'noted' }); // for paper, where notes have no place at their points
  shown.push(() => {
    const notes = data.points
      .filter(point => text(`point/${point.id}/note`))
      .map(point => `${point.step}: ${text(`point/${point.id}/note`)}`);
    noted.textContent = notes.length ? 'Notes at ' + notes.join('; ') : '';
    noted.hidden = !notes.length;
  });
  if (verdict) verdict.after(over, noted);
  const listOpen = make('p', { class: 'list-open' });
  over.prepend(listOpen);
  shown.push(() => {
    const open = record.open(data, fields);
    listOpen.textContent = [
      open.failed.length ? `Not within: steps ${open.failed.join(', ')}.` : '',
      open.undone.length
        ? `Not done: ${open.undone.length > 12 ? open.undone.length + ' steps' : 'steps ' + open.undone.join(', ')}.`
        : 'All steps are done.',
    ]
      .filter(Boolean)
      .join(' ');
  });
  store.ontrouble(words => {
    trouble.textContent = words;
    trouble.hidden = lost.hidden = words === '';
  });

  function use(found) {
    kept = found ? found.record : null;
    fields = found ? found.fields : new Map();
    starting.forEach(one => one());
    remember();
    refresh();
    choose();
  }

  /** What else is in work at this sheet, and records that were begun under other limits. */
  async function choose() {
    const all = (await store.list()).filter(
      one => one.record.procedure === data.procedure && record.isWhole(one.record, one.fields),
    );
    others.replaceChildren();
    const name = one =>
      record.text(one.fields, 'serial')
        ? 'serial ' + record.text(one.fields, 'serial')
        : 'no serial yet';
    for (const one of all.filter(other => !kept || other.record.id !== kept.id)) {
      const of = record.progress(one.record.data, one.fields).words,
        begun = one.record.begun.slice(0, 10);
      if (one.record.revision === data.revision)
        others.append(
          make(
            'button',
            {
              type: 'button',
              class: 'small',
              onclick: async () => use(await store.get(one.record.id)),
            },
            `Go on with ${name(one)}, ${begun}: ${of}`,
          ),
        );
      else
        others.append(
          make(
            'a',
            { class: 'older', href: '../in-progress.html#record=' + one.record.id },
            `${name(one)}, ${begun}, was begun under revision ${one.record.revision} with its own limits: ${of}. Go on there.`,
          ),
        );
    }
    if (kept)
      others.append(
        make(
          'button',
          { type: 'button', class: 'small', onclick: () => use(null) },
          'Begin another meter',
        ),
      );
    others.append(listed);
  }

  let soon = 0;
  store.onchange(change => {
    if (kept && change.record === kept.id) {
      if (change.removed) use(null);
      else if (change.field) {
        fields.set(change.field, { value: change.value, at: change.at });
        refresh();
      }
    } else {
      clearTimeout(soon);
      soon = setTimeout(choose, 500);
    }
  });
  // A page that slept may have missed what another one wrote.
  async function wake() {
    const found = kept && (await store.get(kept.id));
    if (!found || !kept || found.record.id !== kept.id) return;
    for (const [name, one] of found.fields)
      if (!fields.has(name) || fields.get(name).at < one.at) fields.set(name, one);
    refresh();
  }
  window.addEventListener('pageshow', event => {
    if (event.persisted) wake();
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') wake();
  });

  async function start() {
    let wanted = (/[#&]record=([\w-]+)/.exec(location.hash) || [])[1];
    try {
      wanted = wanted || sessionStorage.getItem(TAB);
    } catch (error) {
      /* a private window */
    }
    const all = (await store.list()).filter(
      one =>
        one.record.procedure === data.procedure &&
        one.record.revision === data.revision &&
        record.isWhole(one.record, one.fields),
    );
    const early = fields;
    // The record named in the address or the tab, else the one touched last that isn't closed by a verdict.
    use(
      (wanted && all.find(one => one.record.id === wanted)) ||
        all.find(one => !record.text(one.fields, 'verdict')) ||
        null,
    );
    for (const [name, one] of early) fields.set(name, one); // typed before the list was there
    refresh();
    document.body.classList.add('bench-on');
    started();
  }
  bring();
  start();
})();
