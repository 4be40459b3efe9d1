/* The looks of the bench on the page: its display, meter, leads and standard. Leads go by tapping a
 * jack and a terminal, or with the keyboard's Tab and Enter. */
Bench.onBenchPage(function (page) {
  'use strict';
  const { view, make, button, X, ENDS } = page;

  function build() {
    view.face = {
      number: make('b', { class: 'digits' }),
      unit: make('span', { class: 'unit' }),
      modes: make('span', { class: 'modes' }),
      what: make('span', { class: 'what' }),
      live: make('b', { class: 'live', hidden: true }, 'live'),
      operate: button('Operate', () => view.act(() => view.state.operate()), { class: 'operate' }),
      standby: button('Standby', () => view.act(() => view.state.standby()), { class: 'standby' }),
      output: make('span', { class: 'output' }),
      pause: button('Let the pause go by', () => {
        view.tell(`${view.state.resting()} have gone by.`);
        view.act(() => view.state.rest());
      }),
    };
    view.todo = make('section', {
      class: 'bench-todo',
      'aria-label': 'What to do',
      tabindex: '-1',
    });
    view.dial = view.state.dials.map((one, n) =>
      button(one.name, () => view.act(() => view.state.turn(n)), { 'aria-pressed': 'false' }),
    );
    view.keys = {
      function: button('', () => view.act(() => view.state.press('function'))),
      range: button('Range', () => view.act(() => view.state.press('range'))),
      auto: button('Range by itself', () => view.act(() => view.state.press('auto'))),
      hold: button('Hold', () => view.act(() => view.state.press('hold'))),
      relative: button('Relative', () => view.act(() => view.state.press('relative'))),
    };
    view.jacks = view.meter.jacks.map(jack => button('', () => tapJack(jack), { class: 'jack' }));
    view.spares = make('div', { class: 'keys' });
    view.wires = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
    view.wires.setAttribute('class', 'wires');
    view.wires.setAttribute('aria-hidden', 'true');
    view.terminals = make('div', { class: 'terminals', role: 'group', 'aria-label': 'Terminals' });
    view.source = make('div', { class: 'source' });
    view.log = make('ol', { class: 'bench-log' });
    const events = make(
      'details',
      { class: 'bench-events' },
      make('summary', {}, 'What happened'),
      view.log,
    );
    view.stage.replaceChildren(
      make(
        'section',
        { class: 'face', 'aria-label': 'Display and output' },
        make('p', { class: 'shows' }, view.face.number, ' ', view.face.unit),
        make('p', { class: 'small' }, view.face.what, ' ', view.face.modes),
        make(
          'p',
          { class: 'outputs' },
          view.face.standby,
          view.face.operate,
          view.face.output,
          view.face.live,
          view.face.pause,
        ),
      ),
      make('div', { class: 'side' }, view.alarm, view.todo, events),
      make(
        'section',
        { class: 'the-meter', 'aria-label': `Meter ${view.meter.name}` },
        make('h2', {}, view.meter.name),
        make('div', { class: 'dial', role: 'group', 'aria-label': 'Dial' }, ...view.dial),
        view.meter.lacks
          ? make('p', { class: 'small' }, `Not on this bench: ${view.meter.lacks}.`)
          : '',
        make(
          'div',
          { class: 'keys', role: 'group', 'aria-label': 'Keys' },
          ...Object.values(view.keys),
        ),
        view.spares,
        make('div', { class: 'jacks', role: 'group', 'aria-label': 'Jacks' }, ...view.jacks),
      ),
      make('div', { class: 'between' }, view.wires),
      make(
        'section',
        { class: 'the-source', 'aria-label': 'Standard' },
        view.terminals,
        view.source,
      ),
    );
    buildSource();
    view.buildTask();
  }

  function buildSource() {
    const offer = view.state.offerNow(),
      quantity = offer.quantity,
      choose = make('select', {
        onchange: () => view.act(() => view.state.choose(Number(choose.value)), true),
      }),
      give = make('select', {
        onchange: () => view.act(() => view.state.give(Number(give.value)), true),
      });
    view.options(
      choose,
      view.state.standards.map((one, n) => [n, one.name]),
    );
    view.options(
      give,
      view.state.standardNow().gives.map((one, n) => [n, one.kind]),
    );
    choose.value = view.state.standard;
    give.value = view.state.offer;
    const of = view.state.standardNow().gives.flatMap(one => one.terminals),
      ends = [...new Set([...of, ...ENDS])];
    view.terminals.replaceChildren(
      ...ends.map(end =>
        button(end, () => tapTerminal(end), {
          class: ENDS.includes(end) ? 'end free' : 'end',
          'data-end': end,
          'aria-pressed': 'false',
        }),
      ),
    );
    view.fields = {};
    const field = (name, text, value, unit) => {
      view.fields[name] = make('input', {
        type: 'text',
        autocomplete: 'off',
        autocapitalize: 'off',
        spellcheck: 'false',
        inputmode: 'text',
        class: 'typed',
        onchange: setSource,
        onkeydown: event => event.key === 'Enter' && setSource(),
      });
      view.fields[name].value = Bench.benchText(value, unit);
      return view.label(text, view.fields[name]);
    };
    const parts = [view.label('Standard', choose)];
    if (view.state.standardNow().gives.length > 1) parts.push(view.label('Gives', give));
    if (view.task.covered)
      parts.push(
        make(
          'p',
          { class: 'covered' },
          `Set by somebody else, and covered: ${offer.kind}` +
            (offer.ac ? ` at ${Bench.benchText(view.state.hertz, 'Hz')}` : '') +
            (view.task.behind ? `, behind ${Bench.benchText(view.state.behind, 'Ω')}` : '') +
            '.',
        ),
      );
    else if (view.state.isBox()) {
      const pick = make('select', {
        onchange: () => view.act(() => view.state.pick(Number(pick.value))),
      });
      view.options(
        pick,
        offer.values.map((one, n) => [n, one.said]),
      );
      pick.value = Math.max(0, offer.values.indexOf(view.state.box));
      parts.push(view.label('Value', pick));
    } else {
      parts.push(field('value', 'Value', view.state.value, view.state.unit()));
      if (view.task.kind === 'free' && quantity === 'voltage') parts.push(inTheWay());
      if (quantity === 'frequency') parts.push(field('level', 'Level', view.state.level, 'V'));
      else if (offer.ac) parts.push(field('hertz', 'Frequency', view.state.hertz, 'Hz'));
      parts.push(
        button('To zero', () => {
          view.act(() => view.state.set({ value: X.ZERO }));
          view.fields.value.value = Bench.benchText(X.ZERO, view.state.unit());
        }),
      );
    }
    if (!view.state.isBox()) {
      parts.push(
        button(
          'Mains off',
          () => view.act(() => (view.state.mains ? view.state.mainsOff() : view.state.mainsOn())),
          { class: 'mains' },
        ),
      );
      parts.push(
        button(
          'Second instrument',
          () => {
            view.tell(
              `The second instrument, proved before and after on a known source, reads ` +
                `${view.state.secondInstrument()} at the terminals.`,
            );
            view.draw();
          },
          { class: 'second' },
        ),
      );
    }
    view.source.replaceChildren(...parts);
  }

  function inTheWay() {
    const ohms = make('select', {
      onchange: () => {
        view.act(() => view.state.putBehind(X.from(ohms.value)));
        ohms.value = X.toText(view.state.behind);
      },
    });
    view.options(ohms, [
      ['0', 'nothing'],
      ['100000', '100\u00a0kΩ'],
      ['1000000', '1\u00a0MΩ'],
    ]);
    ohms.value = X.toText(view.state.behind);
    return view.label('In the way', ohms);
  }

  function setSource() {
    const units = { value: view.state.unit(), hertz: 'Hz', level: 'V' };
    const wanted = {};
    for (const [name, field] of Object.entries(view.fields)) {
      wanted[name] = Bench.benchValue(field.value, units[name]);
      if (!wanted[name]) return view.tell(`“${field.value}” is no value in ${units[name]}.`);
    }
    let why = '';
    view.act(() => (why = view.state.set(wanted)));
    if (why) view.tell(why);
    for (const [name, field] of Object.entries(view.fields))
      field.value = Bench.benchText(view.state[name], units[name]);
  }

  // ---- leads: a jack, then a terminal, or the other way round
  function tapJack(jack) {
    if (view.state.leads.some(one => one.jack === jack)) {
      view.armed = null;
      return view.act(() => view.state.unplug(jack));
    }
    if (view.armed && view.armed.end) return plug(jack, view.armed.end);
    view.armed = view.armed && view.armed.jack === jack ? null : { jack };
    if (view.armed) view.tell(`A lead for ${jack}: now tap a terminal.`);
    view.draw();
  }
  function tapTerminal(end) {
    if (view.armed && view.armed.jack) return plug(view.armed.jack, end);
    const used = !ENDS.includes(end) && view.state.leads.find(one => one.end === end);
    if (used) return view.act(() => view.state.unplug(used.jack));
    view.armed = view.armed && view.armed.end === end ? null : { end };
    if (view.armed) view.tell(`A lead at ${end}: now tap a jack.`);
    view.draw();
  }
  function plug(jack, end) {
    view.armed = null;
    view.act(() => view.state.plug(jack, end));
  }

  Object.assign(view, { build, buildSource });
});
