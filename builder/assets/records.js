/* "In progress": every record that this device keeps, to go on with, hand over or delete. A record that was begun under
 * another revision of its sheet is filled in here, with the limits and texts that it carries. */
(function () {
  "use strict";
  const Bench = window.Bench, { rules, store, record } = Bench;
  const place = document.getElementById("records");
  if (!place) return;
  const pages = JSON.parse(document.getElementById("sheets").textContent);  // procedure → its revision now

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
  const trouble = make("p", { class: "trouble", role: "alert", hidden: true });
  const said = make("p", { class: "handed", role: "status" });
  place.before(trouble, said);
  store.ontrouble((words) => { trouble.textContent = words; trouble.hidden = words === ""; });
  const when = (iso) => new Date(iso).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });

  async function list() {
    const all = await store.list(), wanted = /[#&]record=([\w-]+)/.exec(location.hash);
    const one = wanted && all.find((other) => other.record.id === wanted[1]);
    place.replaceChildren();
    if (one) return fill(one);
    if (!all.length) place.append(make("p", {}, "Nothing is in work on this device. Open a sheet and type a reading: it is kept here from the first key on."));
    for (const found of all) place.append(card(found));
  }

  function card(found) {
    const { record: kept, fields } = found, serial = record.text(fields, "serial"), name = `${kept.title}, ${serial ? "serial " + serial : "no serial yet"}`;
    const current = pages[kept.procedure] === kept.revision;
    const remove = make("button", { type: "button", class: "small", onclick: () => {
      if (remove.dataset.asked) return store.remove(kept.id).then(list);
      remove.dataset.asked = "yes";
      remove.textContent = "Delete for good? Press once more";
      setTimeout(() => { delete remove.dataset.asked; remove.textContent = "Delete"; }, 6000);
    } }, "Delete");
    const verdict = record.text(fields, "verdict");
    return make("section", { class: "record", "aria-label": name },
      make("h3", {}, name),
      make("p", {}, [record.progress(kept.data, fields).words, record.text(fields, "state"), verdict && "verdict: " + verdict, "last touched " + when(found.touched)].filter(Boolean).join(" · ")),
      current ? "" : make("p", { class: "older" }, `Begun under revision ${kept.revision}; the sheet has another one now, or is gone. This record keeps its own limits.`),
      make("p", { class: "actions" },
        make("a", { class: "go", href: current ? `procedures/${kept.procedure}.html#record=${kept.id}` : `#record=${kept.id}` }, "Go on"),
        make("button", { type: "button", class: "small", onclick: async () => { said.textContent = await record.handOver(kept, fields, false); } }, "Save as a file"),
        navigator.canShare ? make("button", { type: "button", class: "small", onclick: async () => { said.textContent = await record.handOver(kept, fields, true); } }, "Share") : "",
        remove));
  }

  /** A record of another revision, from nothing but what it carries. */
  function fill(found) {
    const { record: kept, fields } = found, data = kept.data, shown = [];
    const refresh = () => shown.forEach((one) => one());
    const set = (name, value) => { fields.set(name, { value, at: new Date().toISOString() }); refresh(); return store.set(kept.id, name, value); };
    const input = (name, label, more) => {
      const field = make("input", { type: "text", class: "typed", autocomplete: "off", "aria-label": label, ...more });
      field.value = record.text(fields, name);
      field.addEventListener("input", () => set(name, field.value));
      return field;
    };
    const labelled = (name, label) => make("label", { class: "headed" }, label, input(name, label));
    const progress = make("output", { class: "progress" });
    shown.push(() => { progress.textContent = record.progress(data, fields).words; });
    place.append(
      make("p", {}, make("a", { href: "#", onclick: () => setTimeout(list) }, "‹ All in progress")),
      make("h2", {}, kept.title),
      make("p", { class: "older" }, `Revision ${kept.revision}, with the limits and texts that this record began with. Holds at ${data.holds}.`),
      make("p", {}, progress),
      make("div", { class: "heads" }, labelled("serial", "Meter serial no."), labelled("date", "Date"), labelled("ambient", "Ambient"), labelled("done_by", "Done by"), labelled("remarks", "Remarks")));
    for (const group of data.groups) {
      place.append(make("h3", {}, `${group.group} ${group.title}`));
      group.warnings.forEach((one) => place.append(make("p", { class: "sign warn plain" }, one)));
      place.append(steps(group.opening, (n) => `tick/${group.group}/before/${n}`, (n) => `blank/${group.group}/${n}`));
      const inputs = [];
      for (const check of data.checks.filter((one) => one.group === group.group)) place.append(checkCard(check));
      for (const point of data.points.filter((one) => one.group === group.group)) place.append(pointCard(point, inputs));
      if (group.hazard) {
        const open = make("button", { type: "button", class: "open-group", onclick: () => set("open/" + group.group, new Date().toISOString()) }, "I have read the warning and done these steps: open this group");
        const first = inputs[0] && inputs[0].closest(".card");
        if (first) first.before(open);
        shown.push(() => { open.hidden = record.text(fields, "open/" + group.group) !== ""; inputs.forEach((field) => { field.disabled = !open.hidden; }); });
      }
      place.append(steps(group.closing, (n) => `tick/${group.group}/after/${n}`));
      if (group.near_zero) place.append(make("label", { class: "headed" }, `Meter: near zero, reads, ${group.near_zero}`, input("near_zero/" + group.group, "Meter near zero, " + group.near_zero)));
    }
    place.append(make("p", { class: "actions" }, make("button", { type: "button", onclick: async () => { said.textContent = await record.handOver(kept, fields, false); } }, "Save the record as a file")));
    refresh();

    function steps(texts, tickName, blankName) {
      return make("ul", { class: "ticks" }, ...texts.map((words, n) => {
        const box = make("input", { type: "checkbox" });
        box.checked = record.text(fields, tickName(n)) === "yes";
        box.addEventListener("change", () => set(tickName(n), box.checked ? "yes" : ""));
        const [before, after] = words.split("____");
        return make("li", {}, make("label", {}, box, make("span", {}, before, after === undefined ? "" : input(blankName(n), words.replace("____", "")), after || "")));
      }));
    }

    function pointCard(point, inputs) {
      const says = make("output", { class: "says" }), unit = rules.pretty("0 " + rules.display(point).unit).slice(2);
      const field = input(`point/${point.id}/1`, `Reading at step ${point.step}, ${unit}`, { inputmode: "decimal", class: "typed reads" });
      inputs.push(field);
      const reference = point.kind === "reference" ? input(`point/${point.id}/1/reference`, `Reading of the reference meter at step ${point.step}, ${unit}`, { inputmode: "decimal", class: "typed reads" }) : "";
      const limits = point.accept ? `${rules.pretty(point.accept.low)} to ${rules.pretty(point.accept.high)}` : point.observe || "";
      shown.push(() => {
        const all = record.tries(data, point, fields), last = all[all.length - 1];
        says.textContent = last ? [last.result.words, last.result.reason].filter(Boolean).join(": ") : "";
      });
      return make("div", { class: "card" + (point.hazard ? " hot" : "") },
        make("p", {}, make("b", {}, point.step), ` Apply ${point.kind === "zero" ? "nothing, leads alone" : rules.pretty(point.apply)}`, [point.frequency, point.level].filter(Boolean).map((one) => " at " + one).join(""), ` on the ${rules.pretty(point.range)} range`),
        make("p", { class: "limits" }, limits), field, " ", unit, reference ? " reference " : "", reference, says);
    }

    function checkCard(check) {
      const answer = make("select", { "aria-label": `Step ${check.step}, ${check.check}` }, ...["", "yes", "no"].map((one) => make("option", { value: one }, { "": "–", yes: "good", no: "not good" }[one])));
      answer.value = record.text(fields, "check/" + check.step);
      answer.addEventListener("change", () => set("check/" + check.step, answer.value));
      return make("div", { class: "card" }, make("p", {}, make("b", {}, `${check.step} ${check.check}. `), check.do, " Good: ", check.good), answer,
        check.write ? make("label", { class: "headed" }, `${check.write}${check.unit ? ", " + check.unit : ""}`, input(`check/${check.step}/write`, check.write)) : "");
    }
  }

  window.addEventListener("hashchange", list);
  store.onchange(() => { if (!/record=/.test(location.hash)) list(); });
  list();
})();
