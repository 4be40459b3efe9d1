/* The bench view, in which one step fills the screen: the way into it, and that it was chosen. Its
 * script and style come with the first look at it, so the page itself gets no heavier. */
(function () {
  'use strict';
  const { make, button, sheet } = Bench;
  const NAME = 'bench-view';
  const choice = (sheet.choice_of_view = {
    get chosen() {
      try {
        return localStorage.getItem(NAME) === 'yes';
      } catch (error) {
        return false; // a private window
      }
    },
    set chosen(yes) {
      try {
        localStorage.setItem(NAME, yes ? 'yes' : '');
      } catch (error) {
        /* a private window */
      }
    },
  });

  let fetched = null;
  const loaded = make => new Promise((done, failed) => make({ onload: done, onerror: failed }));
  const fetchView = () =>
    (fetched =
      fetched ||
      Promise.all([
        loaded(when =>
          document.head.append(
            make('link', { rel: 'stylesheet', href: '../assets/bench_view.css', ...when }),
          ),
        ),
        loaded(when =>
          document.head.append(make('script', { src: '../assets/bench_view.js', ...when })),
        ),
      ]));

  async function enter() {
    way.disabled = true;
    try {
      await fetchView();
      await sheet.ready;
      choice.chosen = true;
      Bench.view.enter();
    } catch (error) {
      fetched = null;
      way.textContent = 'Not at hand: no network';
    }
    way.disabled = false;
  }
  const way = button('Bench', enter, {
    class: 'small view-way',
    'aria-label': 'Bench view: one step at a time',
  });
  document.querySelector('.bench-bar .line-two').append(way);
  if (choice.chosen) enter();
})();
