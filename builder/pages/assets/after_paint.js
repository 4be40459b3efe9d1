/* What no key waits for: it follows the next frame, and comes at once where the page is left or
 * hidden, when no frame would. */
(function () {
  'use strict';
  const Bench = (window.Bench = window.Bench || {});
  const AT_LATEST = 200; // ms, where frames stand still
  const queue = [];
  let late = 0; // a timer while something waits

  function run() {
    clearTimeout(late);
    late = 0;
    try {
      while (queue.length) queue.shift()();
    } finally {
      if (queue.length) ask(); // what fails keeps nothing else from its turn
    }
  }
  function ask() {
    late = setTimeout(run, AT_LATEST);
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = run; // behind the layout and the paint of this frame
      port2.postMessage(0);
    });
  }

  /** Does `go` behind the next frame, in the order of asking. */
  Bench.afterPaint = function (go) {
    queue.push(go);
    if (document.hidden) run();
    else if (!late) ask();
  };
  for (const leaving of ['beforeunload', 'pagehide']) window.addEventListener(leaving, run);
  document.addEventListener('visibilitychange', run);
})();
