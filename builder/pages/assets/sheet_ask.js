/* Which of several records a sheet goes on with: asked, never guessed. */
(function () {
  'use strict';
  const { record, make, button, sheet } = Bench;

  /** The record that a person chooses among those that are in work, or null for another meter. The
   * sheet waits for the answer. */
  sheet.ask = function (all) {
    const box = make('dialog', { class: 'which', 'aria-labelledby': 'which-meter' });
    return new Promise(resolve => {
      const choose = found => {
        box.close();
        box.remove();
        resolve(found);
      };
      const style = { dateStyle: 'medium', timeStyle: 'short' };
      const touched = one => new Date(one.touched).toLocaleString(undefined, style);
      box.append(
        make('h2', { id: 'which-meter' }, 'Which meter is on the bench?'),
        ...all.map(one =>
          button(
            `${record.called(one.record, one.fields)}: ` +
              `${record.progress(one.record.data, one.fields).words}, last typed ${touched(one)}`,
            () => choose(one),
          ),
        ),
        button('Another meter', () => choose(null)),
      );
      box.addEventListener('cancel', event => event.preventDefault());
      document.body.append(box);
      box.showModal();
    });
  };
})();
