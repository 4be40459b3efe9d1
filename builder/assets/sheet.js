/* A procedure's page at the bench: judges a reading as it is typed, keeps it, says how far the work is, and hands it over.
 * The page is complete without this script, which only adds fields to the cells that paper has too. */
(function () {
  "use strict";
  const Bench = window.Bench, { rules, store, record } = Bench;
  const holder = document.getElementById("procedure-data");
  if (!holder || !window.indexedDB && !window.localStorage) return;
  const data = JSON.parse(holder.textContent);
  const points = new Map(data.points.map((point) => [point.id, point]));
  const SIGN = { pass: "✓", fail: "✗", "conditional pass": "◐", "conditional fail": "◑", "written down": "✎", refused: "?", incomplete: "…" };

  let kept = null;            // the record that is being written, once there is one
  let fields = new Map();     // its fields, as store.js has them
  const shown = [];           // functions that bring one part of the page up to date

  const make = (tag, attributes, ...children) => {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes || {})) {
      if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
      else if (value === true) element.setAttribute(name, "");
      else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, value);
    }
    element.append(...children);
    return element;
  };
  const text = (name) => record.text(fields, name);
  const refresh = () => shown.forEach((one) => one());

  // ---------------------------------------------------------------- keeping

  let creating = null;
  async function begin() {
    if (kept) return kept;
    creating = creating || store.create({ procedure: data.procedure, revision: data.revision, title: data.title, meter: data.meter,
      page: location.pathname, data });
    kept = await creating;
    creating = null;
    address(kept.id);
    if (!text("date")) await set("date", localDate());
    return kept;
  }

  // The page's own view changes at once; the disk follows, each keystroke for itself.
  async function set(name, value) {
    fields.set(name, { value, at: new Date().toISOString() });
    refresh();
    const one = await begin();
    return store.set(one.id, name, value);
  }

  const localDate = () => { const now = new Date(); return new Date(now - now.getTimezoneOffset() * 60000).toISOString().slice(0, 10); };
  const address = (id) => { try { history.replaceState(null, "", "#record=" + id); } catch (error) { /* a page opened as a file */ } };

  /** An input whose text is a field of the record. */
  function input(name, label, more) {
    const element = make("input", { type: "text", placeholder: " ", autocomplete: "off", autocapitalize: "off", spellcheck: "false", "aria-label": label, ...more });
    element.addEventListener("input", () => set(name, element.value));
    shown.push(() => { if (document.activeElement !== element || element.value === "") { const now = text(name); if (element.value !== now) element.value = now; } });
    return element;
  }

  /** Tick boxes of which at most one is ticked, as one field. */
  function choice(name, boxes) {
    for (const box of boxes) box.addEventListener("change", () => set(name, box.checked ? box.value : ""));
    shown.push(() => boxes.forEach((box) => { box.checked = text(name) === box.value; }));
  }

  function tick(name, box) {
    box.addEventListener("change", () => set(name, box.checked ? "yes" : ""));
    shown.push(() => { box.checked = text(name) === "yes"; });
  }

  // ---------------------------------------------------------------- the head, and the steps around groups

  document.querySelectorAll("[data-field]").forEach((cell) => {
    const name = cell.dataset.field, boxes = [...cell.querySelectorAll("input[type=checkbox]")];
    if (boxes.length) return choice(name, boxes);
    const label = cell.textContent.replace(/\s+/g, " ").trim();
    const line = cell.querySelector(".line");
    const field = input(name, label);  // no date field: an empty one prints its own form of a date
    field.className = line ? "typed line" : "typed";
    if (line) line.replaceWith(field); else cell.append(field);
  });

  const groups = data.groups.map((group) => ({ ...group, element: document.querySelector(`[data-group="${group.group}"]`) })).filter((one) => one.element);
  for (const group of groups) {
    for (const part of ["before", "after"]) {
      group.element.querySelectorAll(`.${part} ul.ticks li`).forEach((item, n) => {
        const box = item.querySelector("input[type=checkbox]"), line = item.querySelector(".line");
        if (box) tick(`tick/${group.group}/${part}/${n}`, box);
        if (line) {
          const label = item.textContent.replace(/\s+/g, " ").trim();
          const name = part === "after" ? `near_zero/${group.group}` : `blank/${group.group}/${n}`;
          const field = input(name, label, { inputmode: "decimal" });
          field.className = "typed line";
          // A field inside a label would tick its box with each touch.
          field.addEventListener("click", (event) => event.preventDefault());
          line.replaceWith(field);
        }
      });
    }
    if (group.hazard) gate(group);
  }

  /** A live group opens once its warning was read, and only when no other one is still live. */
  function gate(group) {
    const button = make("button", { type: "button", class: "open-group", onclick: () => { set("open/" + group.group, new Date().toISOString()); focusNext(group.element, null); } });
    const says = make("p", { class: "gate" }, button);
    const place = group.element.querySelector(".before > div") || group.element.querySelector(".before");
    place.append(says);
    shown.push(() => {
      const open = text("open/" + group.group) !== "", closed = open && record.closed(group, fields);
      const other = record.live(data, fields).find((one) => one.group !== group.group);
      button.hidden = open;
      button.disabled = !open && Boolean(other);
      button.textContent = other ? `Group ${other.group} is still live: close it first` : "I have read the warning and done these steps: open this group";
      says.classList.toggle("open", open);
      says.dataset.says = !open ? "" : closed ? "Closed: at zero, standby, seen near zero." : "This group is live until its last steps are done.";
      group.element.querySelectorAll("table.points input.typed").forEach((field) => { field.disabled = !open; });
    });
  }

  // ---------------------------------------------------------------- a point's row

  const announce = make("p", { class: "heard", role: "status", "aria-live": "polite" });
  document.body.append(announce);

  document.querySelectorAll("table.points tbody tr").forEach((row) => {
    const point = points.get(row.id);
    if (point) pointRow(row, point);
  });

  function pointRow(row, point) {
    const unit = rules.pretty("0 " + rules.display(point).unit).slice(2);
    const cells = [...row.querySelectorAll("td.reading")], within = row.querySelector("td.within");
    const subtract = point.correction === "subtract" && point.kind !== "zero", reference = point.kind === "reference";
    const first = cells[0], last = cells[cells.length - 1];
    const id = "says-" + point.step.replace(".", "-");
    const says = make("output", { class: "says", id });
    const again = make("button", { type: "button", class: "small", onclick: () => { second = true; refresh(); focus("2"); } }, "Try once more");
    const note = make("button", { type: "button", class: "small", "aria-expanded": "false" }, "Note");
    const noteField = input(`point/${point.id}/note`, `Note at step ${point.step}`);
    noteField.className = "typed wide";
    note.addEventListener("click", () => { noteField.hidden = !noteField.hidden; note.setAttribute("aria-expanded", String(!noteField.hidden)); if (!noteField.hidden) noteField.focus(); });
    let second = false;

    const next = () => focusNext(row.closest(".group"), row);
    const tries = ["1", "2"].map((n) => {
      const which = n === "2" ? ", second try" : "";
      const field = input(`point/${point.id}/${n}`, `Reading at step ${point.step}, ${unit}${which}`,
        { inputmode: "decimal", enterkeyhint: "next", "aria-describedby": id, class: "typed reads" });
      field.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); next(); } });
      field.addEventListener("change", () => { const one = judged(); if (one) announce.textContent = `Step ${point.step}: ${inWords(one)}`; });
      field.addEventListener("focus", () => atHand(row));
      const keys = make("span", { class: "keys" },
        point.kind !== "zero" ? key("±", "Change the sign", () => { field.value = /^[-−]/.test(field.value) ? field.value.slice(1) : "-" + field.value; }) : "",
        key("OL", "Overload", () => { field.value = "OL"; }),
        make("button", { type: "button", class: "key next", onclick: next }, "Next"));
      function key(label, name, change) {
        return make("button", { type: "button", class: "key", "aria-label": name, onclick: () => { change(); field.dispatchEvent(new Event("input")); field.focus(); } }, label);
      }
      const other = reference ? input(`point/${point.id}/${n}/reference`, `Reading of the reference meter at step ${point.step}, ${unit}${which}`,
        { inputmode: "decimal", class: "typed reads", "aria-describedby": id }) : null;
      return { n, field, keys, other, box: make("span", { class: "try" }, make("small", { class: "which" }, n === "2" ? "second try" : ""), field, make("span", { class: "u" }, unit)) };
    });
    const [one, two] = tries;
    const focus = (n) => tries[Number(n) - 1].field.focus();

    first.append(one.box, two.box);
    if (reference) {
      cells[1].append(make("span", { class: "try" }, one.other), make("span", { class: "try second" }, two.other));
    }
    const worked = subtract || reference ? make("output", { class: "worked" }) : null;
    if (worked) last.prepend(worked);
    one.keys.querySelector(".next").before(note);
    within.append(says, one.keys, two.keys, make("span", { class: "more" }, again), noteField);
    noteField.hidden = true;

    const tickBox = row.querySelector("td.tick input");
    if (tickBox) tickBox.disabled = true;  // ticked by a reading
    const judged = () => { const all = record.tries(data, point, fields); return all[all.length - 1]; };
    const inWords = (one) => [one.result.words, one.result.reason || one.result.note,
      one.result.error && rules.pretty(one.result.error), one.result.percent && one.result.percent.replace("-", "−") + "\u00a0% of tolerance"].filter(Boolean).join(", ");

    let before = null;
    shown.push(() => {
      const now = JSON.stringify([point.id, text(`point/${point.id}/1`), text(`point/${point.id}/2`), text(`point/${point.id}/1/reference`), text(`point/${point.id}/2/reference`),
        point.zero && [text(`point/${point.zero}/1`), text(`point/${point.zero}/2`)], second, text(`point/${point.id}/note`)]);
      if (now === before) return;  // most rows stay as they are with each key
      before = now;
      const all = record.tries(data, point, fields), one_ = all[all.length - 1], outcome = one_ ? one_.result.outcome : "";
      const isSecond = second || text(`point/${point.id}/2`) !== "";
      two.box.hidden = two.keys.hidden = !isSecond;
      if (two.other) two.other.parentElement.hidden = !isSecond;
      one.keys.hidden = isSecond;
      (isSecond ? two : one).keys.querySelector(".next").before(note);
      again.hidden = isSecond || outcome !== "fail";
      row.dataset.outcome = outcome;
      says.replaceChildren();
      if (one_) {
        const counts = one_.result.counts;
        says.append(make("b", {}, `${SIGN[outcome]} ${one_.result.words}`));
        const more = one_.result.reason || [counts !== null && `${signed(counts)} count${/^-?1$/.test(counts) ? "" : "s"}`, one_.result.percent !== null && `${signed(one_.result.percent)}\u00a0% of ±`, one_.result.note].filter(Boolean).join(", ");
        if (more) says.append(" ", make("span", {}, more));
      }
      if (worked) worked.textContent = one_ && one_.result.error !== null ? rules.pretty(reference ? one_.result.error : one_.result.read) : "";
      if (tickBox) tickBox.checked = ["pass", "fail", "conditional pass", "conditional fail", "written down"].includes(outcome);
      const marks = [...within.querySelectorAll(".mark")], words = marks.length === 4 ? ["pass", "conditional pass", "conditional fail", "fail"] : ["pass", "fail"];
      marks.forEach((mark, n) => mark.classList.toggle("ticked", words[n] === outcome));
      note.classList.toggle("has", text(`point/${point.id}/note`) !== "");
      if (text(`point/${point.id}/note`)) noteField.hidden = false;
    });
  }

  const signed = (number) => (number.startsWith("-") ? "−" + number.slice(1) : /[1-9]/.test(number) ? "+" + number : number);

  // ---------------------------------------------------------------- a check's row

  document.querySelectorAll("table.checks tbody tr").forEach((row) => {
    const step = row.querySelector("td.step").firstChild.textContent.trim(), check = data.checks.find((one) => one.step === step);
    if (!check) return;
    const within = row.querySelector("td.within"), marks = [...within.querySelectorAll(".mark")], blank = row.querySelector("td.write");
    const buttons = ["yes", "no"].map((answer) => make("button", { type: "button", class: "answer", "aria-pressed": "false",
      "aria-label": `Step ${step}, ${check.check}: ${answer === "yes" ? "good" : "not good"}`, onclick: () => set("check/" + step, text("check/" + step) === answer ? "" : answer) },
    answer === "yes" ? "✓ good" : "✗ not good"));
    within.append(make("span", { class: "answers" }, ...buttons));
    if (blank) {
      const field = input(`check/${step}/write`, `${check.check}, ${check.write}${check.unit ? ", " + check.unit : ""}`);
      field.className = "typed";
      blank.append(field);
    }
    const tickBox = row.querySelector("td.tick input");
    if (tickBox) tickBox.disabled = true;
    shown.push(() => {
      const answer = text("check/" + step);
      row.dataset.outcome = answer === "no" ? "fail" : answer === "yes" ? "pass" : "";
      buttons.forEach((button, n) => button.setAttribute("aria-pressed", String(answer === ["yes", "no"][n])));
      marks.forEach((mark, n) => mark.classList.toggle("ticked", answer === ["yes", "no"][n]));
      if (tickBox) tickBox.checked = answer !== "";
    });
  });

  // ---------------------------------------------------------------- moving on

  /** To the next row of the group without a reading; behind its last one to its closing steps, else to the next group. */
  function focusNext(group, row) {
    const rows = [...group.querySelectorAll("table.points tbody tr")];
    const ahead = rows.slice(row ? rows.indexOf(row) + 1 : 0).find((one) => !record.outcome(data, points.get(one.id), fields));
    if (ahead) {
      const field = ahead.querySelector("input.reads:not([disabled])");
      if (field) { field.focus({ preventScroll: true }); return atHand(ahead); }
    }
    const closing = group.querySelector(".after");
    const open = closing && [...closing.querySelectorAll("input[type=checkbox]")].find((box) => !box.checked);
    if (open) { open.focus({ preventScroll: true }); return closing.scrollIntoView({ block: "center" }); }
    const following = groups[groups.findIndex((one) => one.element === group) + 1];
    const heading = following && document.getElementById("group-" + following.group);
    if (document.activeElement) document.activeElement.blur();
    (heading || document.querySelector("[data-field=verdict]")).scrollIntoView({ block: "start" });
  }

  /** The row goes under the bar, so that the keyboard of a phone hides neither its limits nor its verdict. */
  function atHand(row) {
    document.querySelectorAll("tr[data-current]").forEach((one) => { if (one !== row) delete one.dataset.current; });
    row.dataset.current = "";
    const now = groups.find((one) => one.element.contains(row));
    if (now !== current) { current = now; bring(); refresh(); }
    if (window.matchMedia("(max-width: 46rem)").matches) row.scrollIntoView({ block: "start" });
  }

  let current = null;
  const progress = make("output", { class: "progress" });
  const where = make("span", { class: "at-group" });
  const look = make("button", { type: "button", class: "small look", "aria-expanded": "false", hidden: true, onclick: () => {
    picture.hidden = !picture.hidden;
    look.setAttribute("aria-expanded", String(!picture.hidden));
    if (!picture.hidden) picture.replaceChildren(current.element.querySelector("svg.connection").cloneNode(true));
  } }, "Leads");
  const picture = make("div", { class: "picture", hidden: true });
  const live = make("a", { class: "still-live", hidden: true });
  const bar = make("div", { class: "bench-bar", role: "region", "aria-label": "How far this record is" }, progress, make("div", { class: "line-two" }, where, look), live, picture);
  document.querySelector(".sheet-head").before(bar);

  function bring() {
    where.textContent = current ? `${current.group} ${current.title}` : "";
    look.hidden = !(current && current.element.querySelector("svg.connection"));
    picture.hidden = true;
    look.setAttribute("aria-expanded", "false");
  }

  shown.push(() => {
    progress.textContent = record.progress(data, fields).words;
    const still = record.live(data, fields)[0];
    live.hidden = !(still && current && current.group !== still.group);
    if (still) { live.href = "#group-" + still.group; live.textContent = `Group ${still.group} is still live: close it`; }
  });

  // ---------------------------------------------------------------- which record, and handing it over

  const trouble = make("p", { class: "trouble", role: "alert", hidden: true });
  const others = make("div", { class: "others" });
  const said = make("p", { class: "handed", role: "status" });
  const over = make("div", { class: "hand-over" },
    make("button", { type: "button", onclick: async () => { await begin(); said.textContent = await record.handOver(kept, fields, false); } }, "Save the record as a file"),
    navigator.canShare ? make("button", { type: "button", onclick: async () => { await begin(); said.textContent = await record.handOver(kept, fields, true); } }, "Share the record") : "",
    make("button", { type: "button", onclick: () => window.print() }, "Print with these readings"), said);
  bar.after(trouble, others);
  const verdict = document.querySelector(".blanks.verdict");
  if (verdict) verdict.after(over);
  const listOpen = make("p", { class: "list-open" });
  over.prepend(listOpen);
  shown.push(() => {
    const open = record.open(data, fields);
    listOpen.textContent = [open.failed.length ? `Not within: steps ${open.failed.join(", ")}.` : "", open.undone.length ? `Not done: ${open.undone.length > 12 ? open.undone.length + " steps" : "steps " + open.undone.join(", ")}.` : "All steps are done."].filter(Boolean).join(" ");
  });
  store.ontrouble((words) => { trouble.textContent = words; trouble.hidden = words === ""; });

  function use(found) {
    kept = found ? found.record : null;
    fields = found ? found.fields : new Map();
    if (kept) address(kept.id); else { try { history.replaceState(null, "", location.pathname + location.search); } catch (error) { /* a file */ } }
    document.querySelectorAll("input.typed").forEach((field) => { if (document.activeElement === field) field.blur(); });
    refresh();
    choose();
  }

  /** What else is in work at this sheet, and records that were begun under other limits. */
  async function choose() {
    const all = (await store.list()).filter((one) => one.record.procedure === data.procedure);
    others.replaceChildren();
    const name = (one) => record.text(one.fields, "serial") ? "serial " + record.text(one.fields, "serial") : "no serial yet";
    for (const one of all.filter((other) => !kept || other.record.id !== kept.id)) {
      const of = record.progress(one.record.data, one.fields).words, begun = one.record.begun.slice(0, 10);
      if (one.record.revision === data.revision) others.append(make("button", { type: "button", class: "small", onclick: () => use(one) }, `Go on with ${name(one)}, ${begun}: ${of}`));
      else others.append(make("a", { class: "older", href: "../in-progress.html#record=" + one.record.id }, `${name(one)}, ${begun}, was begun under revision ${one.record.revision} with its own limits: ${of}. Go on there.`));
    }
    if (kept) others.append(make("button", { type: "button", class: "small", onclick: () => use(null) }, "Begin another meter"));
    if (all.length) others.append(make("a", { class: "all", href: "../in-progress.html" }, "All in progress"));
  }

  store.onchange(async (change) => {
    if (!kept || change.record !== kept.id) return choose();
    if (change.removed) return use(null);
    if (change.field) { fields.set(change.field, { value: change.value, at: change.at }); refresh(); }
  });
  window.addEventListener("pageshow", (event) => { if (event.persisted) start(); });

  async function start() {
    const wanted = /[#&]record=([\w-]+)/.exec(location.hash);
    const all = (await store.list()).filter((one) => one.record.procedure === data.procedure && one.record.revision === data.revision);
    // The record named in the address, else the one touched last that isn't closed by a verdict.
    use((wanted && all.find((one) => one.record.id === wanted[1])) || all.find((one) => !record.text(one.fields, "verdict")) || null);
    document.body.classList.add("bench-on");
  }
  start();
})();
