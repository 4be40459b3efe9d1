/* What is to do at the bench on the page, step by step: ticks that must hold, rows with a reading
 * and a verdict, and how it ended. */
Bench.onBenchPage(function (page) {
  'use strict';
  const { view, data, make, button } = page;

  const kindSaid = () => view.data.tasks[view.task.kind];

  function buildTask() {
    view.shownStep = null;
    view.todo.replaceChildren();
    const told = make('p', { class: 'told-now' });
    if (view.task.covered) return view.buildRead(told);
    if (view.task.kind === 'fault') return view.buildFault(told);
    if (view.task.kind === 'free')
      return view.todo.append(
        make('h2', {}, kindSaid()),
        make(
          'p',
          {},
          'Nothing is asked. Nothing here is live but on this page: try what must ' +
            'never be tried at a bench, and see what would have saved it.',
        ),
        told,
      );
    view.todo.append(
      make('h2', {}, view.task.title || kindSaid()),
      make('div', { class: 'step' }),
      told,
      make('ol', { class: 'used', 'aria-label': 'Written down' }),
    );
  }

  function drawTask() {
    if (!view.task.steps.length || view.done) return view.drawUsed();
    if (view.shownStep === view.at) return;
    view.shownStep = view.at;
    const step = view.task.steps[view.at],
      place = view.todo.querySelector('.step');
    if (!step) return finish(!view.wrongs.length, view.wrongs[0] || '');
    const far = `Step ${view.at + 1} of ${view.task.steps.length}`,
      part = view.task.kind === 'sheet' ? `: ${step.group}` : '',
      going = make('p', { class: 'going' }, far + part);
    place.replaceChildren(going, step.row ? rowOf(step) : tickOf(step));
  }

  function tickOf(step) {
    const box = make('input', { type: 'checkbox' });
    box.addEventListener('change', () => {
      view.calm();
      const why = step.why(view.state);
      if (!why) return next();
      box.checked = false;
      view.act(() => view.state.happen('not-so', { step: step.text, why }));
    });
    return make('label', { class: 'tick' }, box, ' ', step.text);
  }
  // The next step has the focus, but not its field: a phone's keyboard would cover the bench.
  function next() {
    view.at += 1;
    view.tell('');
    view.draw();
    const first = view.todo.querySelector('.step :is(input[type=checkbox], .row)');
    if (first) first.focus({ preventScroll: true });
  }

  function limitsOf(point) {
    const [low, high] = [point.start, point.end].map(text => text.replace('-', '−'));
    return `${low} to ${high}\u00a0${point.unit}`;
  }

  function rowOf(step) {
    const point = step.row;
    const typed = make('input', {
      class: 'typed',
      type: 'text',
      inputmode: 'decimal',
      autocomplete: 'off',
      'aria-label': `Reading, in ${point.unit}`,
    });
    let within = null;
    const verdicts = [
      [true, 'Within'],
      [false, 'Not within'],
    ].map(([value, text]) =>
      button(
        text,
        () => {
          within = value;
          verdicts.forEach((key, n) => key.setAttribute('aria-pressed', String(!n === within)));
        },
        { 'aria-pressed': 'false' },
      ),
    );
    const judge = sure => {
      view.calm();
      if (within === null) return view.tell('Within or not within: choose first.');
      const why = Bench.benchRow(data, view.meter, view.state, point);
      if (why) {
        return view.act(() => view.state.happen('other-setting', { why }));
      }
      const read = Bench.benchRead(view.state, typed.value);
      if (read.why) {
        if (read.wrong) {
          return view.act(() => view.state.happen('misread'));
        }
        return view.tell(read.why);
      }
      view.answered(sure);
      const less = step.less ? view.notes.find(one => one.point === step.less) : null;
      const right = Bench.benchWithin(view.meter, point, read.text, less) === within;
      const power = view.meter.functions[point.f].ranges[point.r].power;
      view.notes.push({ point, text: read.text, power, within });
      const text = read.text.replace('-', '−') + (read.text === 'OL' ? '' : ` ${read.unit}`);
      view.todo
        .querySelector('.used')
        .append(
          make(
            'li',
            {},
            `${point.said}: `,
            make('b', {}, text),
            within ? ' within' : ' not within',
          ),
        );
      if (!right) {
        const reading = text + (less ? ` less ${less.text}` : '');
        view.act(() => view.state.happen('verdict', { reading, limits: limitsOf(point) }));
      }
      next();
    };
    return make(
      'div',
      { class: 'row', tabindex: '-1' },
      make(
        'p',
        { class: 'applies' },
        isLeads(point) ? '' : 'Apply ',
        make('b', {}, point.said),
        isLeads(point) ? '' : ` on ${rangeName(point)}${point.forced ? ', selected by hand' : ''}`,
        point.live ? ' ' : '',
        point.live ? make('b', { class: 'live' }, 'live') : '',
      ),
      make(
        'p',
        { class: 'accepts' },
        make('span', {}, step.less ? 'Less the leads, accept ' : 'Accept '),
        make('b', {}, limitsOf(point)),
      ),
      make('p', { class: 'to-enter' }, view.label(`Reading`, typed), point.unit),
      make('p', { class: 'actions' }, ...verdicts),
      make('p', { class: 'actions' }, ...view.checks(judge)),
    );
  }
  const isLeads = point => point.kind !== 'given';
  const rangeName = point => view.meter.functions[point.f].ranges[point.r].name;

  // ---- the end
  function finish(right, mistake, said = '') {
    if (view.done) return;
    view.done = true;
    const n = view.task.kind === 'free' ? null : view.task.seed;
    const ended = view.state.ended;
    if (view.task.kind !== 'free' && Bench.memory)
      Bench.memory.done({
        kind: `bench-${view.task.kind}`,
        right,
        mistake: mistake && `bench-${mistake}`,
        sure: view.sure,
        seed: n,
      });
    const outcome = ended
      ? 'The run has ended.'
      : right
        ? `Done, without a mistake.${view.sure ? '' : ' A guess was in it: not learned yet.'}`
        : `Done, with ${view.wrongs.length || 1} mistake${view.wrongs.length > 1 ? 's' : ''}.`;
    const box = make(
      'div',
      { class: 'the-end', tabindex: '-1' },
      make('p', {}, make('b', {}, said || outcome), said && !ended ? ` ${outcome}` : ''),
      make(
        'p',
        { class: 'actions' },
        button(
          `Number ${view.task.seed + 1}`,
          view.next,
          { class: 'go' },
        ),
        button('Once more', view.start),
      ),
    );
    const place = view.todo.querySelector('.step');
    if (place) place.replaceChildren(box);
    else view.todo.append(box);
    for (const key of view.todo.querySelectorAll('.to-enter :is(input, select), .actions > button'))
      if (!box.contains(key)) key.disabled = true;
    if (!ended) box.focus({ preventScroll: true });
    view.tell('');
    view.spoken.textContent = `${said} ${outcome}`;
  }

  Object.assign(view, { buildTask, drawTask, kindSaid, limitsOf, rangeName, finish });
});
