"use strict";
(() => {
  const data = JSON.parse(document.getElementById("pack").textContent);
  const KEY = `fencerow-pack-${data.pack}`;
  const LETTERS = "0123456789abcdefghjkmnpqrstvwxyz";
  const $ = (id) => document.getElementById(id);
  const say = (id, params = {}) =>
    data.words[id].replace(/\{(\w+)\}/g, (whole, name) => (name in params ? String(params[name]) : whole));

  /** What is kept: entries in the order in which they were written, and the person's own settings. */
  let held = { device: newId(), name: data.name, entries: [], saved: [], phones: {}, theme: "paper" };
  let keeps = true;

  function newId() {
    return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => LETTERS[byte % 32]).join("");
  }

  /** Read what is kept before each change, for the pack may be open twice. */
  function recall() {
    try {
      const text = localStorage.getItem(KEY);
      if (text !== null) held = { ...held, ...JSON.parse(text) };
    } catch {
      keeps = false;
    }
  }

  function keep() {
    try {
      const text = JSON.stringify(held);
      localStorage.setItem(KEY, text);
      keeps = localStorage.getItem(KEY) === text;
    } catch {
      keeps = false;
    }
  }

  /** Change what is held, keep it, show it. */
  function change(how) {
    if (keeps) recall();
    how();
    keep();
    draw();
  }

  const pad = (n) => String(n).padStart(2, "0");
  const dayOf = (d) => `${d.getFullYear()}-${pad(d.getMonth() + 1)}-${pad(d.getDate())}`;
  const timeOf = (d) => `${pad(d.getHours())}:${pad(d.getMinutes())}`;

  function entry(kind, body, on, subject, parents) {
    const plain = Object.fromEntries(Object.entries(body).filter(([, v]) => v !== "" && v !== null));
    return {
      id: newId(), kind, schema: data.schemas[kind], subject: subject ?? newId(), parents: parents ?? [],
      author: "", device: held.device, said_at: new Date().toISOString(), happened_on: on,
      batch: newId(), visibility: "all", body: plain,
    };
  }

  /** A number as the record keeps it, from the unit in which it was asked for. */
  function number(input) {
    if (input.value === "") return null;
    const value = input.valueAsNumber * Number(input.dataset.times ?? 1) + Number(input.dataset.plus ?? 0);
    return Number(value.toPrecision(6));
  }

  const numbers = (text) => text.split(/[\s,;]+/).filter(Boolean).map(Number);

  /** What each form makes; an error is a sentence for the person. */
  const MAKES = {
    note: (f) => entry("note", { about: "seen", text: f.text.value.trim(), place: f.place.value }, f.on.value),
    rain: (f) => entry("note", { about: "rain", amount: number(f.amount), unit: data.rain_unit, place: f.place.value }, f.on.value),
    done: (f) => entry("done", {
      task: f.task.value, part: f.part.value, worked_h: number(f.worked_h), note: f.note.value.trim(),
      people: data.person && f.worked_h.value ? [data.person] : null,
    }, f.on.value),
    count: (f) => {
      const found = numbers(f.numbers.value);
      const whole = f.method.value !== "cover by eye";
      const most = whole ? Infinity : 100;
      if (!found.length || found.some((n) => !(n >= 0 && n <= most) || (whole && !Number.isInteger(n)))) throw say("numbers");
      const ways = {
        "seedlings in frames": { counts: found, frame_ft2: number(f.frame_ft2) },
        "frequency grid": { hits: found, cells: number(f.cells) },
        "cover by eye": { glances_pct: found },
      };
      const body = ways[f.method.value];
      if (body.frame_ft2 === null || body.cells === null) throw say("one-size");
      if (body.hits && Math.max(...found) > body.cells) throw say("numbers");
      return entry("count", { place: f.place.value, on: f.on.value, method: f.method.value, ...body, person: data.person, note: f.note.value.trim() }, f.on.value);
    },
    outing: (f) => {
      const left = new Date();
      let by = null;
      if (f.back_by.value) {
        const [hour, minute] = f.back_by.value.split(":").map(Number);
        by = new Date(left.getFullYear(), left.getMonth(), left.getDate(), hour, minute);
        if (by <= left) by.setDate(by.getDate() + 1);
      }
      const who = data.person ? { person: data.person } : { guest: held.name };
      if (!data.person && !held.name) throw say("name-first");
      return entry("outing", { ...who, place: f.place.value, what: f.what.value, left_at: left.toISOString(), back_by: by && by.toISOString() }, dayOf(left));
    },
    application: (f) => {
      const [kind, id] = f.product.value.split(" ");
      if ((f.rate.value === "") !== (f.rate_unit.value === "")) throw say("rate-unit");
      return entry("application", {
        place: f.place.value, on: f.on.value, [kind]: id, by: data.person, start: f.start.value, end: f.end.value,
        area_ac: number(f.area_ac), rate: number(f.rate), rate_unit: f.rate_unit.value,
        volume_gal: number(f.volume_gal), wind_mph: number(f.wind_mph), temp_f: number(f.temp_f),
        note: f.note.value.trim(),
      }, f.on.value);
    },
  };

  /** In a few words what an entry says, as its form said it. */
  function told(e) {
    const at = new Date(e.said_at);
    const said = held.told?.[e.id] ?? e.kind;
    return `${e.happened_on} ${timeOf(at)}: ${said}`;
  }

  /** The words that a form shows for what was chosen and typed. */
  function wordsOf(form) {
    const parts = [];
    for (const input of form.querySelectorAll("select, input, textarea")) {
      if (input.name === "on" || input.closest("[hidden]") || !input.value) continue;
      const label = input.closest("label").querySelector("span").textContent;
      parts.push(input.tagName === "SELECT" ? input.selectedOptions[0].textContent : input.type === "number" ? `${label} ${input.value}` : input.value);
    }
    return `${form.dataset.title}: ${parts.join(", ")}`;
  }

  const out = () => held.entries.filter((e) => e.kind === "outing" && !e.body.back_at && !held.entries.some((o) => o.parents.includes(e.id)));

  function element(tag, text, act) {
    const made = document.createElement(tag);
    made.textContent = text;
    if (act) made.addEventListener("click", act);
    if (tag === "button") made.type = "button";
    return made;
  }

  function draw() {
    document.documentElement.dataset.theme = held.theme;
    $("theme").textContent = say(held.theme === "night" ? "paper" : "night");
    const today = dayOf(new Date());
    $("old").hidden = today <= data.last;
    $("old").textContent = say("old", { last: data.last, today });
    $("keeps").textContent = say(keeps ? "keeps" : "keeps-not");
    $("keeps").className = keeps ? "" : "loud";
    $("count").textContent = held.entries.length
      ? say("written", { count: held.entries.length, saved: held.entries.filter((e) => held.saved.includes(e.id)).length })
      : say("none-yet");
    $("held").replaceChildren(...held.entries.map(line));
    $("out").replaceChildren(...out().map((e) => {
      const back = element("button", say("back", { what: told(e) }), () => comeBack(e));
      back.className = "go";
      return back;
    }));
    $("answers").value = held.entries.length ? answers() : "";
    if ($("name")) $("name").value = held.name;
    for (const input of document.querySelectorAll("[data-phone]")) {
      if (input !== document.activeElement) input.value = held.phones[input.dataset.phone] ?? "";
    }
  }

  function line(e) {
    const row = element("li", "");
    row.append(element("span", told(e)));
    row.append(held.saved.includes(e.id)
      ? element("span", say("is-saved"))
      : element("button", say("delete"), () => { if (confirm(say("sure", { what: told(e) }))) drop(e.id); }));
    return row;
  }

  /** Take away what was not saved yet, and what follows on it. */
  function drop(id) {
    change(() => {
      held.entries = held.entries.filter((e) => held.saved.includes(e.id) || (e.id !== id && !e.parents.includes(id)));
    });
  }

  function add(made, words) {
    change(() => {
      held.entries = [...held.entries, made];
      held.told = { ...held.told, [made.id]: words };
    });
  }

  function comeBack(gone) {
    const now = new Date();
    const body = { ...gone.body, back_at: now.toISOString() };
    add(entry("outing", body, gone.happened_on, gone.subject, [gone.id]), `${held.told?.[gone.id] ?? ""} - ${timeOf(now)}`);
  }

  function answers() {
    const rest = { tract: data.tract, pack: data.pack, name: held.name, saved_at: new Date().toISOString() };
    return JSON.stringify({ fencerow_answers: 1, ...rest, entries: held.entries }, null, 1);
  }

  const slug = () => data.slug || held.name.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "") || "field";
  const fileName = () => `${slug()}-answers-${dayOf(new Date())}`;

  /** Whether there is something to save, and a name for it. */
  function ready() {
    if (keeps) recall();
    const why = !held.entries.length ? say("none-yet") : !held.name.trim() ? say("name-first") : "";
    $("said").textContent = why;
    return why === "";
  }

  function save() {
    if (!ready()) return;
    const link = element("a", "");
    link.href = URL.createObjectURL(new Blob([answers()], { type: "application/json" }));
    link.download = `${fileName()}.json`;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    marked(say("saved", { file: link.download }));
  }

  function marked(words) {
    change(() => { held.saved = held.entries.map((e) => e.id); });
    $("said").textContent = words;
  }

  /** A plain text file, which more phones will pass on than a JSON file. */
  const shared = () => new File([answers()], `${fileName()}.txt`, { type: "text/plain" });

  async function share() {
    if (!ready()) return;
    try {
      await navigator.share({ files: [shared()] });
      marked(say("shared"));
    } catch (error) {
      if (error.name !== "AbortError") $("said").textContent = say("share-not");
    }
  }

  for (const form of document.querySelectorAll("form[data-makes]")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const wrong = form.querySelector(".wrong");
      wrong.textContent = "";
      try {
        add(MAKES[form.dataset.makes](form.elements), wordsOf(form));
      } catch (why) {
        if (typeof why !== "string") throw why;
        wrong.textContent = why;
        return;
      }
      form.reset();
      fresh(form);
      form.closest("details").open = false;
      $("count").scrollIntoView({ block: "center" });
    });
    fresh(form);
  }

  /** Today on a form, and of a count the size that its way asks for. */
  function fresh(form) {
    if (form.elements.on) form.elements.on.value = dayOf(new Date());
    for (const part of form.querySelectorAll("[data-of]")) part.hidden = part.dataset.of !== form.elements.method.value;
  }

  document.querySelector("[name=method]").addEventListener("change", (event) => {
    const { form } = event.target;
    for (const part of form.querySelectorAll("[data-of]")) part.hidden = part.dataset.of !== event.target.value;
  });
  for (const input of document.querySelectorAll("[data-phone]")) {
    input.addEventListener("input", () => change(() => { held.phones = { ...held.phones, [input.dataset.phone]: input.value }; }));
  }
  $("name")?.addEventListener("change", (event) => change(() => { held.name = event.target.value.trim(); }));
  $("theme").addEventListener("click", () => change(() => { held.theme = held.theme === "night" ? "paper" : "night"; }));
  $("save").addEventListener("click", save);
  $("share").addEventListener("click", () => void share());
  $("share").hidden = !(navigator.canShare && navigator.canShare({ files: [shared()] }));
  addEventListener("storage", (event) => { if (event.key === KEY) { recall(); draw(); } });
  addEventListener("beforeunload", (event) => {
    if (!keeps && held.entries.some((e) => !held.saved.includes(e.id))) event.preventDefault();
  });
  document.addEventListener("visibilitychange", draw);

  recall();
  keep();
  draw();
  for (const part of document.querySelectorAll(".screen")) part.hidden = false;
})();
