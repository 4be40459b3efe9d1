/* The looks of the bench on the page: what changes when something is done or time goes on.
 * simulated_bench.js does what happens, simulated_tasks.js what there is to do. */
(function () {
  'use strict';
  const { make, button, benchEnds: ENDS } = Bench;
  const X = Bench.rules.exact;
  const home = document.getElementById('bench-here');
  /** A part of the page, with what all of them use; none where there is no bench. */
  Bench.onBenchPage = part => home && part({ view, data: view.data, make, button, X, ENDS });
  if (!home) return;
  const view = (Bench.benchView = {
    home,
    data: JSON.parse(document.getElementById('bench-data').textContent),
    paragraphs: document.querySelector('.bench-links'),
    stage: make('div', { class: 'bench-stage', hidden: true }),
    spoken: make('p', { class: 'heard', role: 'status', 'aria-live': 'polite' }),
    alarm: make('div', { class: 'bench-alarm', role: 'alert' }),
  });
  view.label = (text, field) => make('label', {}, text + ' ', field);
  /** The keys that check an answer, each with how sure somebody is of it. */
  view.checks = check => [
    button('Check: I am sure', () => check(true), { class: 'go' }),
    button('Check: a guess', () => check(false), { class: 'go' }),
  ];
  /** An answer was judged: one guess makes the whole task a guess. */
  view.answered = sure => (view.sure = view.sure && sure);
  view.calm = () => view.alarm.replaceChildren();
  view.options = (select, pairs) =>
    select.replaceChildren(...pairs.map(([value, text]) => make('option', { value }, text)));

  function act(change, rebuild = false) {
    const { standard, offer } = view.state;
    watched(change);
    if (rebuild || standard !== view.state.standard || offer !== view.state.offer)
      view.buildSource();
    view.heard = '';
    draw();
  }
  /** What is done, or what time does, with whatever goes wrong by it. */
  function watched(change) {
    const before = view.state.events.length;
    change();
    for (const event of view.state.events.slice(before)) {
      view.wrongs.push(event.code);
      happened(event);
    }
  }
  function happened(event) {
    const link = view.paragraphs.querySelector(`[data-for="${event.code}"]`);
    const saved = () => [event.saved, ...(link ? [' ', link.cloneNode(true)] : [])];
    view.log.append(make('li', {}, make('b', {}, event.what), ' ', ...saved()));
    view.log.previousSibling.textContent = `What happened (${view.log.children.length})`;
    const on = event.ends
      ? button('Once more', view.start, { class: 'go' })
      : button(
          'Go on',
          () => (view.calm(), view.todo.focus({ preventScroll: true })),
        );
    view.alarm.replaceChildren(
      make(
        'div',
        { class: event.ends ? 'sign warn ended' : 'sign' },
        make('p', {}, make('b', {}, event.what)),
        make('p', {}, 'What would have saved it: ', ...saved()),
        make('p', { class: 'actions' }, on),
      ),
    );
    view.alarm.scrollIntoView({ block: 'nearest' });
    if (event.ends) view.finish(false, event.code);
  }
  function tell(text) {
    view.spoken.textContent = text;
    const line = view.todo.querySelector('.told-now');
    if (line) line.textContent = text;
  }

  function tick() {
    if (view.state.ended) return clearInterval(view.timer);
    watched(() => view.state.tick());
    draw();
    const now = view.state.display();
    const texts = [...new Set(view.state.shown)];
    if (view.state.shown.length === 3 || (now.isHeld && view.heard !== now.text)) {
      const said = now.text === 'OL' ? 'overload' : `${texts.slice(0, 2).join(' or ')} ${now.unit}`;
      if (view.heard !== said) {
        view.heard = said;
        const warming = view.state.warming();
        view.spoken.textContent =
          `Display: ${said}, ${now.name}, ${now.range} range.` +
          (warming ? ` On for ${warming}.` : '');
      }
    }
  }

  function draw() {
    const now = view.state.display();
    view.face.number.textContent = now.text.replace('-', '−');
    view.face.unit.textContent = now.unit;
    view.face.what.textContent = `${now.name}, ${now.range}`;
    const modes = [];
    if (now.isHeld) modes.push('held');
    else {
      modes.push(
        view.state.hand !== null || !view.state.functionNow().auto ? 'by hand' : 'by itself',
      );
      if (view.state.relative) modes.push('relative');
    }
    view.face.modes.textContent = modes.join(' · ');
    const box = view.state.isBox(),
      warming = view.state.warming();
    view.face.live.hidden = !(view.state.on && view.state.isLive());
    view.face.output.textContent = box
      ? 'a box, no output to switch'
      : !view.state.mains
        ? 'mains off'
        : view.state.on
          ? ['output on', warming].filter(Boolean).join(', ')
          : 'standby';
    view.face.pause.hidden = box || view.state.energised() || !view.state.resting();
    for (const key of [view.face.operate, view.face.standby]) key.hidden = box;
    view.face.operate.setAttribute('aria-pressed', String(view.state.on));
    view.face.standby.setAttribute('aria-pressed', String(!view.state.on));
    view.dial.forEach((one, n) => one.setAttribute('aria-pressed', String(n === view.state.dial)));
    const one = view.state.functionNow(),
      entries = view.state.dials[view.state.dial].entries;
    view.keys.function.hidden = entries.length < 2;
    if (entries.length > 1) {
      const next = entries[(view.state.entry + 1) % entries.length];
      view.keys.function.textContent = `To ${view.state.functions[next.f].name}`;
    }
    view.keys.range.hidden = !(one.by_hand || !one.auto) || view.state.rangesNow().length < 2;
    view.keys.auto.hidden = view.keys.range.hidden || !one.auto;
    view.keys.auto.setAttribute('aria-pressed', String(view.state.hand === null));
    view.keys.hold.setAttribute('aria-pressed', String(Boolean(view.state.held)));
    view.keys.relative.hidden = !one.relative;
    view.keys.relative.setAttribute('aria-pressed', String(Boolean(view.state.relative)));
    view.jacks.forEach((key, n) => {
      const jack = view.meter.jacks[n],
        lead = view.state.leads.find(other => other.jack === jack);
      key.textContent = jack;
      key.classList.toggle('in', Boolean(lead));
      key.classList.toggle('armed', Boolean(view.armed && view.armed.jack === jack));
      key.setAttribute(
        'aria-label',
        lead ? `Jack ${jack}, lead to ${lead.end}: take it off` : `Jack ${jack}, free`,
      );
    });
    for (const key of view.terminals.children) {
      const end = key.dataset.end,
        leads = view.state.leads.filter(other => other.end === end);
      key.classList.toggle('in', leads.length > 0);
      key.classList.toggle('armed', Boolean(view.armed && view.armed.end === end));
      key.setAttribute(
        'aria-label',
        (ENDS.includes(end) ? `Far ends ${end}` : `Terminal ${end}`) +
          (leads.length ? `, lead from ${leads.map(other => other.jack).join(' and ')}` : ', free'),
      );
    }
    const mains = view.source.querySelector('.mains');
    if (mains) mains.textContent = view.state.mains ? 'Mains off' : 'Mains on';
    drawFuses();
    drawWires();
    view.drawTask();
  }

  // A fuse that burned before one's eyes can be replaced, by one of the kind that the file states.
  function drawFuses() {
    const burnt = (view.meter.fuses || []).filter(one => view.state.seenBurnt[one.jacks[0]]);
    if (view.spares.children.length === burnt.length) return;
    view.spares.replaceChildren(
      ...burnt.map(one =>
        button(`Fit a fuse for ${one.jacks.join(', ')}`, () => {
          const fits = view.state.fitFuse(one.jacks[0]);
          tell(
            fits
              ? `A fuse of the stated kind is in: ${one.rating}.`
              : 'Leads off and source in standby before the meter is opened.',
          );
          draw();
        }),
      ),
    );
  }

  function drawWires() {
    const frame = view.wires.getBoundingClientRect();
    const middle = (element, low) => {
      const box = element.getBoundingClientRect();
      return [box.left + box.width / 2 - frame.left, (low ? box.bottom : box.top) - frame.top];
    };
    const lines = view.state.leads.map(lead => {
      const [x1] = middle(view.jacks[view.meter.jacks.indexOf(lead.jack)], true),
        end = [...view.terminals.children].find(one => one.dataset.end === lead.end);
      if (!end) return '';
      const [x2] = middle(end, false),
        low = lead.jack === 'COM' ? 'low' : 'high',
        bottom = frame.height;
      return (
        `<path class="${low}" d="M${x1} 0C${x1} ${bottom * 0.6} ${x2} ${bottom * 0.4} ` +
        `${x2} ${bottom}"/>`
      );
    });
    view.wires.innerHTML = lines.join('');
  }

  Object.assign(view, { act, tell, tick, draw, drawWires });
})();
