"""How much of a processor a page's main thread takes: thread time, which stays the same when other
work runs beside, and in units of a fixed piece of work, which follow the machine's own speed."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

# Texts put together, taken apart and looked up, an element for some of them, as with a key.
WORK = """() => {
  const known = new Map(), place = document.createElement('p');
  for (let n = 0; n < 6000; n++) {
    const key = JSON.stringify(['point', n % 700, String(n)]);
    known.set(key, key.split(',').map(part => part.trim().toLowerCase()));
    if (key.includes('9')) place.append(document.createElement('b'), known.get(key).join(' '));
  }
  place.querySelectorAll('b').forEach((one, n) => { one.className = 'n' + n % 7; });
}"""
# Until the next frame is drawn: its layout and paint come before the message.
FRAME = """() => new Promise(done => requestAnimationFrame(() => {
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = done; port2.postMessage(0) }))"""


class Spent:
    """Thread time in ms, once its part is done."""

    ms: float


class MainThread:
    def __init__(self, page):
        self.page, self.session = page, page.context.new_cdp_session(page)
        self.session.send("Performance.enable", {"timeDomain": "threadTicks"})
        for _ in range(3):    # the first times also compile
            page.evaluate(WORK)

    def _now(self) -> float:
        found = self.session.send("Performance.getMetrics")["metrics"]
        return next(one["value"] for one in found if one["name"] == "TaskDuration") * 1000

    @contextlib.contextmanager
    def spent(self) -> Iterator[Spent]:
        """What is done in the meantime, up to the frame that shows it."""
        self.page.evaluate(FRAME)
        found, began = Spent(), self._now()
        yield found
        self.page.evaluate(FRAME)
        found.ms = self._now() - began

    def unit(self) -> float:
        """The fixed piece of work, in ms, as quick as the machine is just now."""
        began = self._now()
        self.page.evaluate(WORK)
        return self._now() - began
