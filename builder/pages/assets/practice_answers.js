/* What an answer is: loaded when one is checked, from a script of its own, so that no answer stands
 * in the page; and whether what was chosen, typed or put in order is right. */
(function () {
  'use strict';
  const practice = Bench.practice;
  const BEYOND_PLACES = /^([+-]?)0*(\d*)(?:\.(\d*))?$/;
  let loading = null;

  /** The answers of this page's set; a classic script, which a page from a folder may add too. */
  practice.load = function ({ seed, edition }) {
    if (!loading)
      loading = new Promise((resolve, reject) => {
        const failed = words => {
          loading = null;
          reject(new Error(words));
        };
        const script = document.createElement('script');
        script.src = `${seed}.js`;
        script.onerror = () => failed('The answers can’t be loaded. Try again with a network.');
        script.onload = () =>
          practice.answers.edition === edition
            ? resolve(practice.answers.exercises)
            : failed('This page is older than its answers. Load it again.');
        document.head.append(script);
      });
    return loading;
  };

  // ---- what is typed, as an exact decimal: texts are compared, no number is rounded
  function parts(text, unit) {
    const bare = text.replace(/[−–]/g, '-').replace(/\s/g, '').replace(',', '.');
    const own = unit.replace(/\s/g, '');
    const plain = bare.endsWith(own) ? bare.slice(0, -own.length) : bare;
    const found = BEYOND_PLACES.exec(plain);
    return found && /\d/.test(plain) ? found : null;
  }

  /** '02.9860 V' as '2.986', null where it is no number in this unit. */
  Bench.typedDecimal = function (text, unit) {
    const found = parts(text, unit);
    if (!found) return null;
    const behind = (found[3] || '').replace(/0+$/, '');
    const value = (found[2] || '0') + (behind ? '.' + behind : '');
    return (found[1] === '-' && /[1-9]/.test(value) ? '-' : '') + value;
  };
  const places = (text, unit) => (parts(text, unit)[3] || '').length;

  const right = () => ({ right: true, mistake: '', said: '' });
  const wrong = (mistake, said, more) => ({ right: false, mistake, said, ...more });

  /** An answer that was given → {right, mistake, said}, or {again} with what to mend first. */
  practice.judged = function (known, unit, given) {
    if (known.order) return ordered(known, given);
    if (known.fields) return typed(known, unit, given);
    if (given < 0) return { again: 'Choose an answer first.' };
    if (given === known.right) return right();
    return wrong(known.mistakes[given], known.why[given], {
      work: known.work ? known.work[given] : [],
    });
  };

  function typed(known, unit, texts) {
    const exact = texts.map(text => Bench.typedDecimal(text, unit));
    if (exact.includes(null)) return { again: `Type both readings as numbers in ${unit}.` };
    const rows = known.fields.map(row => row.map(text => Bench.typedDecimal(text, unit)));
    const is = row => row.every((text, k) => text === exact[k]);
    const [low, high] = rows[known.right];
    if (low !== high && is([high, low]))
      return { again: 'Both readings are right, the other way round: type the lower one first.' };
    const shown = places(known.fields[known.right][0], unit);
    if (texts.some(text => places(text, unit) !== shown)) {
      const all = shown === 1 ? '1 digit' : `${shown || 'no'} digits`;
      return { again: `This range shows ${all} behind the point: write every digit.` };
    }
    const found = rows.findIndex(is);
    if (found === known.right) return right();
    if (found >= 0) return wrong(known.mistakes[found], known.why[found]);
    if (exact[0] === low) return wrong('', 'The lower limit is right, the upper one is not.');
    if (exact[1] === high) return wrong('', 'The upper limit is right, the lower one is not.');
    return wrong('', 'No mistake that is known here leads to these two readings by itself.');
  }

  function ordered(known, order) {
    if (order.length < known.order.length) return { again: 'Put all of them in order first.' };
    const at = item => order.indexOf(item);
    const broken = known.rules.filter(([first, later]) => at(first) > at(later));
    if (broken.length) {
      const reasons = [...new Set(broken.map(rule => rule[3]))];
      return wrong(broken[0][2], reasons.slice(0, 2).join(' '));
    }
    const same = known.order.every((item, n) => item === order[n]);
    const said = same ? '' : 'The sheet has another order; yours keeps its rules too.';
    return { ...right(), said };
  }
})();
