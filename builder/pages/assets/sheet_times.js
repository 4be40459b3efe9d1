/* Counts down beside the rows: how long the output may still be on, and how long it must rest. */
(function () {
  'use strict';
  const { record, make, sheet } = Bench;
  const { data } = sheet;
  const limited = data.points.filter(point => point.on_at_most);

  const clock = ms => new Date(ms).toTimeString().slice(0, 8);
  const long = ms => {
    const seconds = Math.ceil(Math.abs(ms) / 1000);
    return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`;
  };
  const timer = () => make('p', { class: 'timer', role: 'timer', hidden: true });
  const show = (place, words, over) => {
    place.hidden = words === '';
    if (place.textContent !== words) place.textContent = words;
    place.classList.toggle('over', over);
  };

  function rested({ rest, isBegun }, now) {
    if (!rest) return ['', false];
    if (rest.early) return [`The output went on ${long(rest.early)} too early.`, true];
    if (isBegun) return ['', false];
    return now < rest.until
      ? [`Off until ${clock(rest.until)}, ${long(rest.until - now)} left`, true]
      : [`Rested since ${clock(rest.until)}: the output may go on.`, false];
  }
  function lit({ on }, now) {
    if (!on) return ['', false];
    return now <= on.until
      ? [`Output on: ${long(on.until - now)} left`, false]
      : [
          `Output off now: on for ${long(now - on.since)}, at most ${long(on.until - on.since)}`,
          true,
        ];
  }

  const places = new Map();
  for (const point of limited) {
    const row = document.getElementById(point.id);
    const line = row.previousElementSibling;
    const opening = sheet.groups.find(one => one.group === point.group).element;
    const first = data.points.find(one => one.group === point.group) === point;
    const pause = timer();
    const on = timer();
    if (first) opening.querySelector('.before ul.ticks').after(pause);
    else if (line && line.matches('.between')) line.firstElementChild.append(pause);
    row.querySelector('td.within').prepend(on);
    places.set(point, { pause, on });
  }
  // A time of day is no decimal.
  for (const group of sheet.groups)
    group.element.querySelectorAll('.before ul.ticks li').forEach((item, n) => {
      const field = item.querySelector('input.typed');
      if (field && group.opening_steps[n] === 'pause') field.inputMode = 'text';
    });

  function update() {
    const now = Date.now();
    const found = limited.map(point => [point, record.times(data, point, sheet.fields)]);
    for (const [point, times] of found) {
      // of the points that share a time it stands at the one that is next
      const together = found.filter(([, other]) => other.spell === times.spell);
      const [next] =
        together.find(([one]) => !record.outcome(data, one, sheet.fields)) ||
        together[together.length - 1];
      show(places.get(point).pause, ...rested(times, now));
      show(places.get(point).on, ...(next === point ? lit(times, now) : ['', false]));
    }
  }
  sheet.shown.push(update);
  setInterval(update, 500);
})();
