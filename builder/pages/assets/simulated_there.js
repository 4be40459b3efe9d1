/* What stands on the bench of the page: the standard with its output, the leads, what the dial
 * measures. Each part of the bench adds to `b`, which simulated_bench.js makes. */
(function () {
  'use strict';
  const X = Bench.rules.exact;

  Bench.benchThere = function (b) {
    const standard = () => b.standards[b.standard];
    const offer = () => standard().gives[b.offer];
    const entry = () => b.dials[b.dial].entries[b.entry];
    const measured = () => b.functions[entry().f];
    const ranges = () => entry().places.map(place => measured().ranges[place]);
    const isBox = () => Boolean(offer().values);
    const volts = () => (offer().quantity === 'frequency' ? b.level : b.value);
    const isVoltage = () => ['voltage', 'frequency'].includes(offer().quantity) && !isBox();
    const energised = () => !isBox() && b.mains && (b.on || b.falling > 0 || b.stuck);
    const overTouch = (value, ac) =>
      X.compare(X.abs(value), ac ? b.hazardous.ac : b.hazardous.dc) > 0;
    const isLive = () => energised() && isVoltage() && overTouch(volts(), offer().ac);
    const said = () => {
      const at = offer().ac && offer().quantity !== 'frequency';
      const text = Bench.benchText(volts(), isVoltage() ? 'V' : Bench.benchUnits[offer().quantity]);
      return at ? `${text} at ${Bench.benchText(b.hertz, 'Hz')}` : text;
    };
    const lead = jack => b.leads.find(one => one.jack === jack);

    // How two jacks are joined to the output: 1, −1 with the leads exchanged, 0 not at all.
    function joined(high, low) {
      const ends = [lead(high), lead(low)].map(one => one && one.end);
      const [a, b] = offer().terminals;
      return ends[0] === a && ends[1] === b ? 1 : ends[0] === b && ends[1] === a ? -1 : 0;
    }
    const ends = () => {
      const [high, low] = ranges()[0].jacks.map(jack => (lead(jack) || {}).end);
      return high && high === low ? high : '';
    };

    const within = ([low, high], value) =>
      X.compare(X.from(low), value) <= 0 && X.compare(value, X.from(high)) <= 0;
    const rowsFor = (value, hertz, level) =>
      offer().rows.filter(
        row =>
          within(row.values, X.abs(value)) &&
          (!row.frequency || !offer().ac || within(row.frequency, hertz)) &&
          (!row.level || within(row.level, level)),
      );
    function drivesNow() {
      const row = rowsFor(b.value, b.hertz, b.level)[0];
      return row && row.drives;
    }

    const anyJoined = () => b.leads.some(one => offer().terminals.includes(one.end));

    Object.assign(b, {
      standardNow: standard,
      offerNow: offer,
      entryNow: entry,
      functionNow: measured,
      rangesNow: ranges,
      isBox,
      isVoltage,
      isLive,
      energised,
      volts,
      said,
      lead,
      joined,
      ends,
      anyJoined,
      rowsFor,
      drivesNow,
      unit: () => Bench.benchUnits[offer().quantity],
    });
  };
})();
