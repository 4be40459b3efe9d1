/* A record filled in without its sheet: steps, gates, points and checks as lines of a form. */
(function () {
  'use strict';
  const { rules, record, gates, make, button } = Bench;
  const rows = (Bench.formRows = {});

  const idOf = check => 'check-' + check.step.replace('.', '-');

  /** As on the sheet: `inputs` are shut until the group opens, `ticks` and the answers of `checks`
   * while something bars it. */
  rows.gate = (form, group, { inputs, ticks, checks }) =>
    gates.gate(form, group, {
      opened: () => inputs[0] && inputs[0].focus(),
      goToHold: at => document.getElementById('hold-' + at.group).scrollIntoView(),
      shut(stands) {
        inputs.forEach(field => {
          field.disabled = stands.shut;
        });
        ticks.querySelectorAll('input').forEach(field => {
          field.disabled = stands.barred;
        });
        checks.forEach(([check, card]) => {
          card.querySelector('select').disabled =
            stands.barred && !record.isHeldFor(form.data, check);
        });
      },
    });

  /** The hold before a group, where there is one. */
  rows.hold = (form, group) =>
    group.hold
      ? make(
          'div',
          { class: 'hold', id: 'hold-' + group.group },
          make('p', {}, make('b', {}, group.hold.said || 'HOLD')),
          group.hold.stop ? make('p', {}, group.hold.stop) : '',
          gates.hold(form, group, check =>
            document.getElementById(idOf(check)).scrollIntoView({ block: 'center' }),
          ),
        )
      : '';

  /** What closes a live group. */
  rows.closing = function (form, group) {
    if (!group.hazard) return [];
    const otherwise = gates.otherwise(form, group);
    if (!group.near_zero) return [otherwise];
    const label = `Group ${group.group}: the meter reads near zero`;
    const { field, more } = gates.nearZero(form, group, label);
    return [make('label', { class: 'headed' }, label, field), more, otherwise];
  };

  /** Who did a group: those typed last until it has its own. */
  rows.initials = function ({ data, set, shown, fields }, group) {
    const name = record.initialsName(group);
    const field = make('input', { type: 'text', class: 'typed', maxlength: '12' });
    field.addEventListener('input', () => set(name, field.value));
    shown.push(() => {
      const known = record.initials(data, group, fields);
      if (field.value !== known) field.value = known;
    });
    return make('label', { class: 'headed' }, `Group ${group.group}: done by, initials`, field);
  };

  /** Steps to tick; `tickName` and `blankName` name the fields of the nth one, `isTicked` says
   * whether it is. */
  rows.steps = (form, texts, tickName, blankName, isTicked) =>
    make(
      'ul',
      { class: 'ticks' },
      ...texts.map((words, n) =>
        step(form, words, tickName(n), {
          blankName: blankName && blankName(n),
          isTicked: isTicked && (() => isTicked(n)),
        }),
      ),
    );

  function step({ text, set, input, shown }, words, tickName, { blankName, isTicked }) {
    const box = make('input', { type: 'checkbox' });
    box.addEventListener('change', () => set(tickName, box.checked ? 'yes' : ''));
    shown.push(() => {
      box.checked = isTicked ? isTicked() : text(tickName) === 'yes';
    });
    const [before, after] = words.split('____');
    const label = words.replace('____', '…');
    if (after === undefined || !blankName)
      return make('li', {}, make('label', {}, box, make('span', {}, label)));
    box.setAttribute('aria-label', label);
    const blank = input(blankName, label, { class: 'typed line' });
    return make('li', { class: 'with-blank' }, box, make('span', {}, before, blank, after));
  }

  /** A point with its limits, up to two tries and a note; its fields are added to `inputs`. */
  rows.point = function (form, point, inputs) {
    const { data, fields, text, shown } = form;
    const says = make('p', { class: 'says', role: 'status' });
    const limits = point.accept
      ? `${rules.pretty(point.accept.low)} to ${rules.pretty(point.accept.high)}`
      : point.observe || '';
    const tries = ['1', '2'].map(n => tryAt(form, point, n));
    tries.forEach(one => inputs.push(...one.inputs));
    let second = false; // whether a second try was asked for
    const again = button(
      'Try once more',
      () => {
        second = true;
        form.refresh();
        tries[1].inputs[0].focus();
      },
      { class: 'small' },
    );
    const asked = gates.asked(form, point);
    shown.push(() => {
      const last = record.tries(data, point, fields).slice(-1)[0];
      asked.show(last);
      const { verdict, rest } = last ? record.says(last.result) : { verdict: '', rest: '' };
      says.replaceChildren(make('b', {}, verdict), rest && ': ' + rest);
      const secondTyped = text(`point/${point.id}/2`) !== '';
      tries[1].line.hidden = !second && !secondTyped;
      again.hidden = second || secondTyped || !last || !record.failed(last.result.outcome);
      tries[0].inputs.forEach(field => {
        field.readOnly = secondTyped;
      });
    });
    return make(
      'div',
      { class: 'card' + (point.hazard ? ' hot' : '') },
      rows.steps(form, point.before || [], n => record.tickBefore(point, n)),
      toApply(point),
      make('p', { class: 'limits' }, limits),
      tries[0].line,
      tries[1].line,
      says,
      ...asked.parts,
      again,
      form.labelled(`point/${point.id}/note`, `Note at step ${point.step}`),
    );
  };

  function tryAt(form, point, n) {
    const { input } = form;
    const unit = rules.pretty('0 ' + rules.display(point).unit).slice(2);
    const at = `at step ${point.step}, ${unit}${n === '2' ? ', second try' : ''}`;
    const more = { inputmode: 'decimal', class: 'typed reads' };
    const inputs = [input(`point/${point.id}/${n}`, `Reading ${at}`, more)];
    gates.unconfirm(form, point, n, inputs[0]);
    const beside = point.kind !== 'reference' ? 0 : point.reference.twice ? 2 : 1;
    for (const [name, when] of [
      ['reference', beside === 2 ? ' before the meter' : ''],
      ['after', ' after the meter'],
    ].slice(0, beside))
      inputs.push(
        input(
          `point/${point.id}/${n}/${name}`,
          `Reading of the reference meter${when} ${at}`,
          more,
        ),
      );
    const line = make(
      'p',
      { class: 'try' },
      inputs[0],
      ` ${unit}`,
      ...(inputs[1] ? [' reference ', ...inputs.slice(1)] : []),
      n === '2' ? ' second try' : '',
    );
    return { inputs, line };
  }

  const toApply = point =>
    make(
      'p',
      {},
      make('b', {}, point.step),
      point.hazard ? ' ' : '',
      point.hazard ? make('b', { class: 'live' }, 'live') : '',
      ` Apply ${
        ['zero', 'leads'].includes(point.kind) ? 'nothing, leads alone' : rules.pretty(point.apply)
      }`,
      [point.frequency, point.level]
        .filter(Boolean)
        .map(one => ' at ' + rules.pretty(one))
        .join(''),
      point.source_setting ? `, source at ${rules.pretty(point.source_setting)}` : '',
      ` on the ${rules.pretty(point.range)} range`,
      point.range_forced ? ', by hand' : '',
      point.correction === 'subtract' && point.kind !== 'zero' ? ', reading less the leads' : '',
    );

  rows.check = function (form, check) {
    const name = 'check/' + check.step;
    const unit = check.unit ? ', ' + rules.pretty('0 ' + check.unit).slice(2) : '';
    const answers = ['yes', 'no', ...(check.always === false ? [record.NOT_HERE] : [])];
    const set = (_, answer) =>
      record.answer(check, answer || form.text(name), form.fields, form.set);
    const choice = form.choice(name, `Step ${check.step}: good?`, answers, set);
    const by = form.labelled(name + '/by', 'Initials of who says so');
    form.shown.push(() => {
      by.hidden = form.text(name) !== record.NOT_HERE;
    });
    return make(
      'div',
      { class: 'card', id: idOf(check) },
      make(
        'p',
        {},
        make('b', {}, `${check.step} ${check.check}. `),
        check.do,
        ' Good: ',
        check.good,
      ),
      choice,
      by,
      check.write ? form.labelled(name + '/write', check.write + unit) : '',
    );
  };
})();
