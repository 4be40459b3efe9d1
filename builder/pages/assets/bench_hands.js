/* What the bench view does for hands and eyes: the screen stays awake, a verdict is felt, the time
 * to settle is counted, and limits may stay out of sight until a reading is left. */
(function () {
  'use strict';
  const { record, make, sheet, view } = Bench;

  // ---------------------------------------------------------------- the screen stays awake

  let awake = null;
  let shown = '';
  let cannot = '';
  async function stayAwake(isWanted) {
    if (!isWanted) {
      if (awake && awake.release) awake.release();
      awake = null;
    } else if (!navigator.wakeLock)
      cannot = window.isSecureContext
        ? 'This browser cannot keep the screen awake.'
        : 'To keep the screen awake this page needs an address with https.';
    else if (!awake) {
      awake = {};
      try {
        const lock = await navigator.wakeLock.request('screen');
        if (!awake) return lock.release(); // not wanted any more
        awake = lock;
        lock.addEventListener('release', () => awake === lock && (awake = null));
        cannot = '';
      } catch (error) {
        awake = null;
        cannot = 'This device does not keep the screen awake now, as when its battery is low.';
      }
    }
  }
  let kept = null; // the stop at which it was asked for: no key asks again
  const keepAwake = () => {
    const stop = view.on() && view.at();
    if (stop === kept && document.visibilityState === shown) return;
    kept = stop;
    shown = document.visibilityState;
    stayAwake(Boolean(stop && stop.group) && document.visibilityState === 'visible');
  };
  document.addEventListener('visibilitychange', keepAwake);

  // ---------------------------------------------------------------- a verdict is felt

  const SHORT = [40];
  const LONG_TWICE = [180, 90, 180];
  // "54" on the way to "54.00" has a verdict too
  const isTyped = point =>
    record.tries(sheet.data, point, sheet.fields).some(({ reading }) => {
      const [, decimals = ''] = reading.split(/[.,]/);
      return reading === 'OL' || decimals.length >= point.decimals;
    });
  let felt = { point: null, outcome: '' };
  function feel(stop) {
    const point = stop && stop.kind === 'point' && !view.isBlind(stop) ? stop.point : null;
    const outcome = point && isTyped(point) ? record.outcome(sheet.data, point, sheet.fields) : '';
    const isNew = point && felt.point === point && outcome !== felt.outcome;
    felt = { point, outcome };
    if (isNew && outcome && navigator.vibrate)
      navigator.vibrate(record.failed(outcome) ? LONG_TWICE : SHORT);
  }

  // ---------------------------------------------------------------- the time to settle

  const SETTLES = 3000; // ms, as the sheet's rules have it
  const settle = make('p', { class: 'timer settle', role: 'timer' });
  let since = 0;
  let timed = null;
  function settling(stop) {
    const point = stop && stop.kind === 'point' ? stop.point : null;
    if (point !== timed) since = Date.now();
    timed = point;
    const isRead = !point || record.tries(sheet.data, point, sheet.fields).length > 0;
    settle.hidden = isRead || record.fromPaper(sheet.fields);
    if (settle.hidden) return settle.remove();
    const within = stop.here[0].querySelector('td.within');
    if (settle.parentElement !== within) within.prepend(settle);
    count();
  }
  function count() {
    const left = Math.ceil((SETTLES - (Date.now() - since)) / 1000);
    const words =
      left > 0
        ? `Wait until it is steady: ${left} s at least.`
        : 'Write it down once it is steady.';
    if (settle.textContent !== words) settle.textContent = words;
  }
  setInterval(() => settle.isConnected && count(), 500);

  // ---------------------------------------------------------------- blind reading

  const NAME = 'bench-blind';
  const blind = make('input', { type: 'checkbox' });
  try {
    blind.checked = localStorage.getItem(NAME) === 'yes';
  } catch (error) {
    /* a private window */
  }
  blind.addEventListener('change', () => {
    try {
      localStorage.setItem(NAME, blind.checked ? 'yes' : '');
    } catch (error) {
      /* a private window */
    }
    view.bring();
  });
  view.readsBlind = () => blind.checked;
  function hideLimits(stop) {
    const isBlind = Boolean(stop && view.isBlind(stop));
    document.querySelectorAll('tr.blind').forEach(row => row.classList.remove('blind'));
    if (isBlind) stop.here[0].classList.add('blind');
    document.querySelector('.bench-bar').classList.toggle('blind', isBlind);
  }

  /** Whether a reading was changed and nobody has said why. */
  function showAsked({ point, here }) {
    const asks = record.changedAt(sheet.data, point, sheet.fields).slice(-1);
    here[0].toggleAttribute('data-asks', asks.some(one => one.why === '?'));
  }

  view.shown.push(stop => {
    if (stop && stop.point) showAsked(stop);
    hideLimits(stop);
    keepAwake();
    feel(stop);
    settling(stop);
  });
  view.settings = () => [
    make(
      'label',
      { class: 'setting' },
      blind,
      ' Blind reading: the limits appear after the reading is left',
    ),
    cannot ? make('p', { class: 'setting' }, cannot) : '',
  ];
})();
