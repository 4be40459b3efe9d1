/* "In progress": every record that this device keeps, to go on with, hand over or delete. A record that was begun under
 * another revision of its sheet is filled in here, with the limits and texts that it carries. */
(function () {
  'use strict';
  const Bench = window.Bench,
    { rules, store, record, make } = Bench;
  const place = document.getElementById('records');
  if (!place) return;
  const pages = JSON.parse(document.getElementById('sheets').textContent); // procedure → its revision now

  let changed = () => {}; // what a record that is being filled in does when another tab writes

  const trouble = make('p', { class: 'trouble', role: 'alert', hidden: true });
  const said = make('p', { class: 'handed', role: 'status' });
  place.before(trouble, said);
  store.ontrouble(words => {
    trouble.textContent = words;
    trouble.hidden = words === '';
  });
  const when = iso =>
    new Date(iso).toLocaleString(undefined, { dateStyle: 'medium', timeStyle: 'short' });

  async function list() {
    const all = await store.list(),
      wanted = /[#&]record=([\w-]+)/.exec(location.hash);
    const one = wanted && all.find(other => other.record.id === wanted[1]);
    place.replaceChildren();
    place.before(said);
    changed = () => {};
    if (one) {
      try {
        return fill(one);
      } catch (error) {
        changed = () => {};
        return place.replaceChildren(
          make(
            'p',
            { class: 'actions' },
            make('a', { class: 'all', href: '#' }, '‹ All in progress'),
          ),
          card(one, false),
        );
      }
    }
    if (!all.length)
      place.append(
        make(
          'p',
          {},
          'Nothing is in work on this device. Open a sheet and type a reading: it is kept here from the first key on.',
        ),
      );
    for (const found of all) place.append(card(found));
  }

  function card(found, whole = record.isWhole(found.record, found.fields)) {
    const { record: kept, fields } = found;
    const remove = make(
      'button',
      {
        type: 'button',
        class: 'small',
        onclick: () => {
          if (remove.dataset.asked)
            return Date.now() - remove.dataset.asked > 400 && store.remove(kept.id).then(list); // a double tap asks once
          remove.dataset.asked = Date.now();
          remove.textContent = 'Delete for good? Press once more';
          setTimeout(() => {
            delete remove.dataset.asked;
            remove.textContent = 'Delete';
          }, 6000);
        },
      },
      'Delete',
    );
    if (!whole)
      return make(
        'section',
        { class: 'record', 'aria-label': "A record that can't be read" },
        make('h3', {}, "A record that can't be read"),
        make(
          'p',
          {},
          `${String(kept.id).slice(0, 60)}: what lies in this device's database is no whole record. Save it as it was found, for someone who can look into it, or delete it.`,
        ),
        make(
          'p',
          { class: 'actions' },
          make(
            'button',
            {
              type: 'button',
              class: 'small',
              onclick: () => {
                said.textContent = record.saveAsFound(kept, fields);
              },
            },
            'Save as it was found',
          ),
          remove,
        ),
      );
    const serial = record.text(fields, 'serial'),
      name = `${kept.title}, ${serial ? 'serial ' + serial : 'no serial yet'}`;
    const current = pages[kept.procedure] === kept.revision,
      verdict = record.text(fields, 'verdict');
    return make(
      'section',
      { class: 'record', 'aria-label': name },
      make('h3', {}, name),
      make(
        'p',
        {},
        [
          record.progress(kept.data, fields).words,
          record.text(fields, 'state'),
          verdict && 'verdict: ' + verdict,
          'last touched ' + when(found.touched),
        ]
          .filter(Boolean)
          .join(' · '),
      ),
      current
        ? ''
        : make(
            'p',
            { class: 'older' },
            `Begun under revision ${kept.revision}; the sheet has another one now, or is gone. This record keeps its own limits.`,
          ),
      make(
        'p',
        { class: 'actions' },
        make(
          'a',
          {
            class: 'go',
            href: current
              ? `procedures/${kept.procedure}.html#record=${kept.id}`
              : `#record=${kept.id}`,
          },
          'Go on',
        ),
        make(
          'button',
          {
            type: 'button',
            class: 'small',
            onclick: async () => {
              said.textContent = await record.handOver(kept, fields, false);
            },
          },
          'Save as a file',
        ),
        navigator.canShare
          ? make(
              'button',
              {
                type: 'button',
                class: 'small',
                onclick: async () => {
                  said.textContent = await record.handOver(kept, fields, true);
                },
              },
              'Share',
            )
          : '',
        remove,
      ),
    );
  }

  /** A record of another revision, from nothing but what it carries. */
  function fill(found) {
    const { record: kept, fields } = found,
      data = kept.data,
      shown = [];
    const text = name => record.text(fields, name),
      refresh = () => shown.forEach(one => one());
    const set = (name, value) => {
      fields.set(name, { value, at: new Date().toISOString() });
      refresh();
      return store.set(kept.id, name, value);
    };
    changed = change => {
      if (change.record !== kept.id) return;
      if (change.removed) return list();
      if (change.field) {
        fields.set(change.field, { value: change.value, at: change.at });
        refresh();
      }
    };
    const input = (name, label, more) => {
      const field = make('input', {
        type: 'text',
        class: 'typed',
        autocomplete: 'off',
        autocapitalize: 'off',
        spellcheck: 'false',
        'aria-label': label,
        ...more,
      });
      field.addEventListener('input', () => set(name, field.value));
      shown.push(() => {
        const now = fields.has(name) ? String(fields.get(name).value) : '';
        if (field.value !== now) field.value = now;
      });
      return field;
    };
    const labelled = (name, label) => make('label', { class: 'headed' }, label, input(name, null));
    const choice = (name, label, answers) => {
      const select = make(
        'select',
        {},
        ...['', ...answers].map(one => make('option', { value: one }, one || '–')),
      );
      select.addEventListener('change', () => set(name, select.value));
      shown.push(() => {
        select.value = text(name);
      });
      return make('label', { class: 'headed' }, label, select);
    };
    const progress = make('p', { class: 'progress' });
    shown.push(() => {
      progress.textContent = record.progress(data, fields).words;
    });
    place.append(
      make('p', { class: 'actions' }, make('a', { class: 'all', href: '#' }, '‹ All in progress')),
      make('h2', {}, kept.title),
      make(
        'p',
        { class: 'older' },
        `Revision ${kept.revision}, with the limits and texts that this record began with. Holds at ${data.holds}.`,
      ),
      progress,
      make(
        'div',
        { class: 'heads' },
        labelled('serial', 'Meter serial no.'),
        labelled('place', 'Place'),
        labelled('date', 'Date'),
        choice('state', 'State', ['as found', 'as left']),
        labelled('ambient', 'Ambient at the meter'),
        labelled('humidity', 'Humidity, %'),
        labelled('done_by', 'Done by'),
        labelled('reviewed_by', 'Reviewed by'),
        ...data.standards.flatMap(one => [
          labelled(`standard/${one.standard}/number`, `${one.name}, no.`),
          labelled(
            `standard/${one.standard}/certificate`,
            `${one.name}, certificate, here ${one.certificate}`,
          ),
          labelled(
            `standard/${one.standard}/due`,
            `${one.name}: stop if today is after ${one.due} or, by its label`,
          ),
        ]),
      ),
    );
    for (const group of data.groups) {
      place.append(make('h3', {}, `${group.group} ${group.title}`));
      group.warnings.forEach(one => place.append(make('p', { class: 'sign warn plain' }, one)));
      if (group.jacks.length) place.append(make('p', {}, `Jacks: ${group.jacks.join(', ')}`));
      place.append(
        steps(
          group.opening,
          n => `tick/${group.group}/before/${n}`,
          n => `blank/${group.group}/${n}`,
        ),
      );
      const inputs = [];
      if (group.hazard) place.append(gate(group, inputs));
      for (const point of data.points.filter(one => one.group === group.group))
        place.append(pointCard(point, inputs));
      for (const check of data.checks.filter(one => one.group === group.group))
        place.append(checkCard(check));
      place.append(steps(group.closing, n => `tick/${group.group}/after/${n}`));
      if (group.near_zero)
        place.append(
          labelled('near_zero/' + group.group, `Meter: near zero, reads, ${group.near_zero}`),
        );
    }
    place.append(
      make('h3', {}, 'Verdict'),
      choice('verdict', 'This meter at these points, on this day', [
        'all within',
        'not all within',
        'not completed',
      ]),
      labelled('failed', 'Steps not within, steps not done'),
      labelled('remarks', 'Remarks; what was cleaned, replaced or adjusted'),
      labelled('next', 'What is next for this meter'),
      make(
        'p',
        { class: 'actions' },
        make(
          'button',
          {
            type: 'button',
            onclick: async () => {
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
                  said.textContent = await record.handOver(kept, fields, true);
                },
              },
              'Share the record',
            )
          : '',
      ),
      said,
    );
    refresh();

    /** As on the sheet: opened once its warning was read, and only while no other group is live. */
    function gate(group, inputs) {
      const button = make('button', {
        type: 'button',
        class: 'open-group',
        onclick: () => record.begin(group, fields, set),
      });
      const says = make('b', {});
      shown.push(() => {
        const stands = record.gate(data, group, fields);
        button.hidden = stands.hidden;
        button.disabled = stands.disabled;
        button.textContent = stands.button;
        says.textContent = stands.says;
        inputs.forEach(field => {
          field.disabled = stands.shut;
        });
      });
      return make('p', { class: 'actions' }, button, says);
    }

    function steps(texts, tickName, blankName) {
      return make(
        'ul',
        { class: 'ticks' },
        ...texts.map((words, n) => {
          const box = make('input', { type: 'checkbox' });
          box.addEventListener('change', () => set(tickName(n), box.checked ? 'yes' : ''));
          shown.push(() => {
            box.checked = text(tickName(n)) === 'yes';
          });
          const [before, after] = words.split('____');
          if (after === undefined)
            return make('li', {}, make('label', {}, box, make('span', {}, before)));
          box.setAttribute('aria-label', words.replace('____', '…'));
          return make(
            'li',
            { class: 'with-blank' },
            box,
            make(
              'span',
              {},
              before,
              input(blankName(n), words.replace('____', '…'), { class: 'typed line' }),
              after,
            ),
          );
        }),
      );
    }

    function pointCard(point, inputs) {
      const unit = rules.pretty('0 ' + rules.display(point).unit).slice(2),
        reference = point.kind === 'reference';
      const says = make('p', { class: 'says', role: 'status' }),
        limits = point.accept
          ? `${rules.pretty(point.accept.low)} to ${rules.pretty(point.accept.high)}`
          : point.observe || '';
      const more = { inputmode: 'decimal', class: 'typed reads' };
      const tries = ['1', '2'].map(n => {
        const which = n === '2' ? ', second try' : '';
        const own = [
          input(`point/${point.id}/${n}`, `Reading at step ${point.step}, ${unit}${which}`, more),
          ...(reference
            ? [
                input(
                  `point/${point.id}/${n}/reference`,
                  `Reading of the reference meter at step ${point.step}, ${unit}${which}`,
                  more,
                ),
              ]
            : []),
        ];
        inputs.push(...own);
        return {
          own,
          line: make(
            'p',
            { class: 'try' },
            own[0],
            ` ${unit}`,
            ...(reference ? [' reference ', own[1]] : []),
            n === '2' ? ' second try' : '',
          ),
        };
      });
      let second = false;
      const again = make(
        'button',
        {
          type: 'button',
          class: 'small',
          onclick: () => {
            second = true;
            refresh();
            tries[1].own[0].focus();
          },
        },
        'Try once more',
      );
      shown.push(() => {
        const all = record.tries(data, point, fields),
          last = all[all.length - 1],
          { verdict, rest } = last ? record.says(last.result) : { verdict: '', rest: '' };
        says.replaceChildren(make('b', {}, verdict), rest && ': ' + rest);
        const isSecond = second || text(`point/${point.id}/2`) !== '';
        tries[1].line.hidden = !isSecond;
        again.hidden = isSecond || !last || !record.failed(last.result.outcome);
        tries[0].own.forEach(field => {
          field.readOnly = text(`point/${point.id}/2`) !== '';
        });
      });
      return make(
        'div',
        { class: 'card' + (point.hazard ? ' hot' : '') },
        make(
          'p',
          {},
          make('b', {}, point.step),
          point.hazard ? ' ' : '',
          point.hazard ? make('b', { class: 'live' }, 'live') : '',
          ` Apply ${point.kind === 'zero' ? 'nothing, leads alone' : rules.pretty(point.apply)}`,
          [point.frequency, point.level]
            .filter(Boolean)
            .map(one => ' at ' + rules.pretty(one))
            .join(''),
          point.source_setting ? `, source at ${rules.pretty(point.source_setting)}` : '',
          ` on the ${rules.pretty(point.range)} range`,
          point.range_forced ? ', by hand' : '',
          point.correction === 'subtract' && point.kind !== 'zero'
            ? ', reading less the leads'
            : '',
        ),
        make('p', { class: 'limits' }, limits),
        tries[0].line,
        tries[1].line,
        says,
        again,
        labelled(`point/${point.id}/note`, `Note at step ${point.step}`),
      );
    }

    function checkCard(check) {
      return make(
        'div',
        { class: 'card' },
        make(
          'p',
          {},
          make('b', {}, `${check.step} ${check.check}. `),
          check.do,
          ' Good: ',
          check.good,
        ),
        choice('check/' + check.step, `Step ${check.step}: good?`, ['yes', 'no']),
        check.write
          ? labelled(
              `check/${check.step}/write`,
              `${check.write}${check.unit ? ', ' + rules.pretty('0 ' + check.unit).slice(2) : ''}`,
            )
          : '',
      );
    }
  }

  window.addEventListener('hashchange', list);
  let soon = 0;
  store.onchange(change => {
    changed(change);
    if (!/record=/.test(location.hash)) {
      clearTimeout(soon);
      soon = setTimeout(list, 500);
    }
  });
  list();
})();
