/* What pages of practice have in common: links to lessons, and results as a file to hand over.
 * Nothing is sent. */
(function () {
  'use strict';
  const { memory, practice } = Bench;

  /** A link to the paragraph that prevents a mistake; null where this site has no lessons. */
  practice.link = function (mistake) {
    const [lesson, anchor] = practice.lessons[mistake] || [];
    const to = lesson && document.querySelector(`.to-lessons a[data-lesson="${lesson}"]`);
    if (!to) return null;
    const href = to.getAttribute('href') + (anchor ? '#' + anchor : '');
    return Bench.make('a', { href }, to.textContent);
  };

  /** What a file of results holds: `name` may be ''. */
  practice.resultsFile = (name, answers) =>
    JSON.stringify({ format: 1, practice: 'results', name, on: memory.today(), answers }, null, 1);

  practice.save = function (text, name) {
    const link = Bench.make('a', {
      href: URL.createObjectURL(new Blob([text], { type: 'application/json' })),
      download: name,
    });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  };

  practice.handOver = function (answers, file) {
    const { make, button } = Bench;
    const name = make('input', { type: 'text', class: 'name', autocomplete: 'off' });
    return make(
      'div',
      { class: 'give screen' },
      make('label', {}, 'Name, if wished ', name),
      button('Hand over as a file', () =>
        practice.save(practice.resultsFile(name.value.trim(), answers()), file),
      ),
    );
  };
})();
