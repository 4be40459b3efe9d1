/* The bench on the page begins here: which meter, which task, which number; the address of the page
 * names them. */
Bench.onBenchPage(function (page) {
  'use strict';
  const { view, data, make, X } = page;

  const TICK = 600; // ms between two displays

  const ask = {
    meter: make('select', { name: 'meter' }),
    kind: make('select', { name: 'kind' }),
    place: make('select', { name: 'place' }),
    seed: make('input', { name: 'seed', type: 'text', inputmode: 'numeric', autocomplete: 'off' }),
  };
  view.options(
    ask.meter,
    data.meters.map(one => [one.id, one.name]),
  );
  const asked = () => data.meters.find(one => one.id === ask.meter.value);
  function kinds() {
    const before = ask.kind.value,
      one = asked(),
      has = {
        read: one.points.length,
        share: Bench.coveredPoints(data, one, true).length,
        point: one.points.length,
        group: one.groups.length,
        sheet: one.groups.length > 1,
        fault: one.areas.length,
        free: 1,
      };
    view.options(
      ask.kind,
      Object.entries(view.data.tasks).filter(([kind]) => has[kind]),
    );
    if (before && has[before]) ask.kind.value = before;
    places();
  }
  function places() {
    const of = {
      group: asked().groups.map(one => one.title),
      sheet: Bench.sheetsOf(asked()).map(([title]) => title),
      fault: asked().areas.map(one => one.said),
    }[ask.kind.value];
    ask.place.parentNode.hidden = !of;
    ask.place.parentNode.firstChild.textContent =
      { group: 'Group ', sheet: 'Sheet ' }[ask.kind.value] || 'Of ';
    view.options(ask.place, [
      ['', 'as the number decides'],
      ...(of || []).map((text, n) => [n, text]),
    ]);
  }
  const setup = make(
    'form',
    { class: 'bench-ask', onsubmit: event => (event.preventDefault(), start()) },
    view.label('Meter', ask.meter),
    view.label('Task', ask.kind),
    view.label('Of', ask.place),
    view.label('Number', ask.seed),
    make('button', { class: 'go' }, 'Start'),
  );
  ask.meter.addEventListener('change', kinds);
  ask.kind.addEventListener('change', places);

  // what a class has to choose, for paper
  const said = make('p', { class: 'task-said' });
  view.home.replaceChildren(setup, said, view.spoken, view.stage);

  function start() {
    const typed = ask.seed.value.trim(),
      seed = /^\d{1,6}$/.test(typed) && Number(typed) ? Number(typed) : 1;
    ask.seed.value = seed;
    view.meter = asked();
    const place = ask.place.value === '' ? null : Number(ask.place.value);
    view.task = Bench.benchTask(data, view.meter.id, ask.kind.value, seed, place);
    view.state = Bench.makeBench(data, view.meter.id, seed, {
      fault: view.task.fault,
      sticks: view.task.sticks,
    });
    view.state.turn(view.task.dial % view.state.dials.length);
    const shunt = view.meter.functions.find(one => one.quantity === 'current');
    if (view.task.left && shunt)
      shunt.ranges[0].jacks.forEach(jack => view.state.leads.push({ jack, end: 'apart' }));
    if (view.task.covered) {
      const [n, k] = Bench.suppliesOf(data, view.meter, view.task.point);
      view.state.choose(n);
      view.state.give(k);
      const hertz = view.task.point.hertz ? X.from(view.task.point.hertz) : view.state.hertz;
      if (view.state.set({ value: view.task.covered, hertz })) {
        view.task.covered = X.from(view.task.point.sets);
        view.state.set({ value: view.task.covered, hertz });
      }
    }
    if (view.task.behind) view.state.putBehind(X.from(view.task.behind));
    Object.assign(view, { at: 0, notes: [], armed: null, done: false, wrongs: [], heard: '' });
    view.sure = true;
    view.alarm.replaceChildren();
    view.build();
    address(seed, place);
    const chosen = [ask.meter, ask.kind, ...(place === null ? [] : [ask.place])].map(
      one => one.selectedOptions[0].textContent,
    );
    said.textContent = `Choose: ${chosen.join(', ')}, number ${seed}.`;
    clearInterval(view.timer);
    view.timer = setInterval(view.tick, TICK);
    const { state, task, meter, tick } = view;
    Bench.benchNow = { state, task, meter, data, tick };
    view.stage.hidden = false;
    view.draw();
    view.todo.focus({ preventScroll: true });
    view.stage.scrollIntoView({ block: 'start' });
  }
  function address(seed, place) {
    const asks = new URLSearchParams({ meter: view.meter.id, task: view.task.kind, seed });
    if (place !== null) asks.set('place', place);
    try {
      history.replaceState(null, '', '#' + asks);
    } catch (error) {
      /* a page opened as a file */
    }
  }

  view.start = start;
  view.next = () => {
    ask.seed.value = view.task.seed + 1;
    start();
  };
  const given = new URLSearchParams(location.hash.slice(1));
  if (data.meters.some(one => one.id === given.get('meter'))) ask.meter.value = given.get('meter');
  kinds();
  if (view.data.tasks[given.get('task')]) ask.kind.value = given.get('task');
  places();
  if (/^\d+$/.test(given.get('place') || '')) ask.place.value = given.get('place');
  ask.seed.value = given.get('seed') || '1';
  window.addEventListener('resize', () => view.state && view.drawWires());
  if (given.get('seed')) start();
});
