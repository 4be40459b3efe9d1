/* What is ticked before a row, from the fields of a record. Pure functions, as in record.js. */
(function () {
  'use strict';
  const { record } = Bench;

  /** The field of the nth step before a point; data of older records have none. */
  record.tickBefore = (point, n) => `tick/point/${point.id}/${n}`;

  /** The steps before a point that aren't ticked, though something was read at it. */
  record.unticked = (data, point, fields) =>
    record.tries(data, point, fields).length
      ? (point.before || []).filter(
          (_, n) => record.text(fields, record.tickBefore(point, n)) !== 'yes',
        )
      : [];

  /** The steps before a point as its record hands them over. */
  record.stepsBefore = (point, fields) =>
    (point.before || []).map((step, n) => {
      const field = fields.get(record.tickBefore(point, n));
      const done = Boolean(field) && field.value === 'yes';
      return { step, done, write: null, at: done ? field.at : null };
    });
})();
