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

  /** Whether nothing of a function without a statement was done, and nothing says more of it. */
  statement.isUntouched = function (name, report) {
    const { points, checks, live_groups: groups } = report;
    const stopping = checks.filter(check => check.functions.includes(name));
    return (
      statement.ofFunction(name, report) === 'no statement' &&
      !stopping.some(check => check.answer === 'no') &&
      !groups.some(group => group.closed === 'no' && group.functions.includes(name)) &&
      points.every(
        one => one.function !== name || one.planned !== 'limits' || one.outcome === 'blank',
      ) &&
      stopping.every(
        one => one.stops !== name || ['blank', 'not on this meter'].includes(one.answer),
      )
    );
  };

  /** A line for each function that doesn't pass; of a meter that is not safe to use one line for
   * all of which nothing was done. */
  statement.others = function ({ statement: whole, functions, ...report }) {
    const other = functions.filter(([, one]) => one !== 'passes' && one !== 'not tested');
    const isUntouched = ([name]) =>
      whole === 'not safe to use' && statement.isUntouched(name, report);
    const untouched = other.filter(isUntouched).map(([name]) => name);
    return [
      ...other.filter(one => !isUntouched(one)).map(([name, one]) => `${name}: ${one}`),
      ...(untouched.length
        ? [`Not done, and so without a statement: ${untouched.join(', ')}.`]
        : []),
    ];
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
