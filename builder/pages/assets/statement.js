/* What may be stated of a meter and of its functions: records/statement.py once more. Points,
 * checks and live groups are as in data/reports/<number>.json. */
(function () {
  'use strict';
  const Bench = (window.Bench = window.Bench || {});
  const statement = (Bench.statement = {});
  const FAILS = ['fails', 'conditional fail'];
  const PASSES = ['passes', 'conditional pass'];

  /** The statement on a function. */
  statement.ofFunction = function (name, { points, checks, live_groups: groups }) {
    const own = points.filter(point => point.function === name && point.planned === 'limits');
    const stopping = checks.filter(check => check.functions.includes(name));
    const read = outcome => own.some(point => point.ground && point.outcome === outcome);
    const answered = (answer, of) =>
      stopping.some(check => check.answer === answer && (!of || check.of === of));
    const isTried =
      own.length > 0 ||
      stopping.some(check => check.stops === name && check.answer !== 'not on this meter');
    if (read('fail') || answered('no', 'meter')) return 'fails';
    if (!isTried) return 'not tested';
    if (read('conditional fail')) return 'conditional fail';
    const nothing =
      answered('blank') ||
      answered('no') ||
      own.some(point => !point.ground || ['blank', 'undecided'].includes(point.outcome)) ||
      groups.some(group => group.closed === 'no' && group.functions.includes(name));
    if (nothing) return 'no statement';
    return read('conditional pass') ? 'conditional pass' : 'passes';
  };

  /** The statement on the meter, whose functions are named. */
  statement.ofMeter = function (names, report) {
    const answered = answer =>
      report.checks.some(
        check => check.stops === 'everything' && check.of === 'meter' && check.answer === answer,
      );
    const tested = names
      .map(name => statement.ofFunction(name, report))
      .filter(one => one !== 'not tested');
    const passing = tested.filter(one => PASSES.includes(one));
    if (answered('no')) return 'not safe to use';
    if (answered('blank')) return 'no statement';
    if (!passing.length) {
      return tested.some(one => FAILS.includes(one)) ? 'fails' : 'no statement';
    }
    if (passing.length < tested.length) return 'limited';
    return passing.includes('conditional pass') ? 'conditional pass' : 'passes';
  };
})();
