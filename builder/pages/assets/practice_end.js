/* How a set went: counts, and what was sure and wrong. */
(function () {
  'use strict';
  const { make, button, memory, practice } = Bench;

  practice.finish = function ({ end, set, cards, tries, run, again }) {
    const done = tries.filter(Boolean);
    const right = done.filter(one => one.right);
    const lines = [
      [right.filter(one => one.sure).length, 'right and sure'],
      [right.filter(one => !one.sure).length, 'right by a guess: not learned yet'],
      [done.filter(one => !one.right && one.sure).length, 'wrong and sure: read these first'],
      [done.filter(one => !one.right && !one.sure).length, 'wrong, and it was a guess'],
      [cards.length - done.length, 'left out'],
    ];
    const slips = done
      .filter(one => !one.right)
      .map(one => {
        const link = practice.link(one.mistake);
        const name = practice.mistakes[one.mistake] || 'none of the mistakes known here';
        return make(
          'li',
          {},
          `Exercise ${one.n + 1}, ${practice.kinds[one.kind]}: ${name}`,
          ...(link ? [' → ', link] : []),
        );
      });
    const answers = () => memory.all().filter(one => one.run === run);
    end.replaceChildren(
      make(
        'p',
        {},
        make('b', {}, `Set ${set.seed}: ${right.length} of ${cards.length} right.`),
        ` ${memory.today()}, edition ${set.edition}.`,
      ),
      make(
        'ul',
        { class: 'counts' },
        ...lines.filter(([n]) => n).map(([n, text]) => make('li', {}, `${n} ${text}`)),
      ),
      ...(slips.length
        ? [make('p', {}, 'What went wrong:'), make('ul', { class: 'slips' }, ...slips)]
        : []),
      ...(memory.trouble ? [make('p', { class: 'note' }, memory.trouble)] : []),
      ...(done.length ? [practice.handOver(answers, `practice-set-${set.seed}.json`)] : []),
      make(
        'div',
        { class: 'actions' },
        make('a', { class: 'go', href: `${set.next}.html` }, `Set ${set.next}`),
        button('Once more', again),
        make('a', { class: 'all', href: '../practice.html' }, 'All sets'),
      ),
    );
  };
})();
