/* A sheet's header: the switch of light and dark, and the page's title once its heading is out of
 * sight. The theme's own script does that elsewhere: a third of what a phone would fetch for its
 * first sheet. What was chosen is kept where the theme keeps it. */
(function () {
  'use strict';
  const heading = document.querySelector('h1');
  const title = document.querySelector('.here');
  if (title && heading && window.IntersectionObserver)
    new IntersectionObserver(([{ isIntersecting }]) =>
      title.classList.toggle('md-header__title--active', !isIntersecting),
    ).observe(heading);

  const form = document.querySelector('form[data-md-component="palette"]');
  if (!form || typeof __md_set !== 'function') return;
  const inputs = [...form.querySelectorAll('input')];
  const PARTS = ['media', 'scheme', 'primary', 'accent'];
  form.classList.add('works'); // without this script it is hidden

  function show(index) {
    inputs.forEach((input, n) => {
      input.checked = n === index;
      if (input.nextElementSibling) input.nextElementSibling.hidden = n !== index;
    });
    const colour = Object.fromEntries(
      PARTS.map(part => [part, inputs[index].getAttribute('data-md-color-' + part)]),
    );
    for (const part of PARTS) document.body.setAttribute('data-md-color-' + part, colour[part]);
    return colour;
  }
  const asTheDevice = () => {
    const found = inputs.findIndex(input => matchMedia(input.dataset.mdColorMedia).matches);
    return found < 0 ? 0 : found;
  };
  const chosen = __md_get('__palette');
  show(chosen && inputs[chosen.index] ? chosen.index : asTheDevice());
  inputs.forEach((input, index) =>
    input.addEventListener('change', () => {
      __md_set('__palette', { index, color: show(index) });
    }),
  );
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => {
    if (!__md_get('__palette')) show(asTheDevice());
  });
})();
