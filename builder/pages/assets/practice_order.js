/* Things put in order by tapping: the first tap is 1, the next one 2; a tap on one that has its
 * number takes it and all behind it back. */
(function () {
  'use strict';
  const { make, button } = Bench;

  /** Makes the list of a card tappable. Returns {order(), lock()}. */
  Bench.practice.tapped = function (card) {
    const items = [...card.querySelectorAll('.lettered > li:not(.to-tap)')];
    const heard = make('p', { class: 'heard order-heard', role: 'status' });
    let order = [];
    const taps = items.map((item, n) => {
      const place = make('b', { class: 'place' });
      const tap = button('', () => toggle(n), { class: 'tapped', 'aria-pressed': 'false' });
      tap.append(place, make('span', {}, item.textContent.trim()));
      item.dataset.plain = '';
      item.after(make('li', { class: 'to-tap' }, tap));
      return { tap, place };
    });
    card.querySelector('.lettered').after(heard);

    function toggle(n) {
      const at = order.indexOf(n);
      order = at < 0 ? [...order, n] : order.slice(0, at);
      show();
      heard.textContent =
        at < 0
          ? `Number ${order.length} of ${items.length}.`
          : `Taken back from number ${at + 1} on.`;
    }
    function show() {
      taps.forEach(({ tap, place }, n) => {
        const at = order.indexOf(n);
        place.textContent = at < 0 ? '' : at + 1;
        tap.setAttribute('aria-pressed', String(at >= 0));
      });
    }
    show();
    return {
      order: () => order,
      lock: () => taps.forEach(({ tap }) => (tap.disabled = true)),
    };
  };
})();
