/* Elements of a page, made by one line: shared by the scripts that add something to theirs. */
(function () {
  'use strict';
  const Bench = (window.Bench = window.Bench || {});

  /** `make('p', { class: 'small', hidden: true, onclick: go }, 'Go on')`; an attribute that is
   * false, null or undefined is left out. */
  Bench.make = function (tag, attributes, ...children) {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes || {})) {
      if (name.startsWith('on')) element.addEventListener(name.slice(2), value);
      else if (value === true) element.setAttribute(name, '');
      else if (value !== false && value !== null && value !== undefined)
        element.setAttribute(name, value);
    }
    element.append(...children);
    return element;
  };

  /** Gives an element what it has not yet: given again, a browser lays it out again. */
  Bench.put = function (element, properties) {
    for (const [name, value] of Object.entries(properties))
      if (element[name] !== value) element[name] = value;
  };

  /** A button that submits nothing; `more` are further attributes. */
  Bench.button = (label, onclick, more) =>
    Bench.make('button', { type: 'button', onclick, ...more }, label);
})();
