// The front end of every lab: native controls, pictures, words. Nothing is computed here.
// Python sends `plan` (what controls and pictures there are) once; after each move `told` (the
// setting, and what is said of it), and `words` and each picture only when they changed. This
// file sends `asked` (where the controls stand).

let count = 0;
const SPEAK_AFTER = 400; // milliseconds of rest before the words are announced
const PLAY_SECONDS = 6; // one motion there and back

const make = (tag, attributes = {}, ...children) => {
  const node = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === true) node.setAttribute(key, "");
    else if (value !== false && value != null) node.setAttribute(key, value);
  }
  node.append(...children);
  return node;
};

function render({ model, el }) {
  const plan = model.get("plan");
  const uid = `controlkit-${++count}-${Math.random().toString(36).slice(2, 8)}`;
  let { units, n: sent } = model.get("told");
  let values = { ...model.get("told").values };
  let pinned = model.get("told").pinned ?? null;
  let typed = null; // texts on their way to Python
  let line = null; // a typed setting on its way to Python
  let playing = null;
  let reading = 0;
  const rows = {};

  // ---- asking -------------------------------------------------------------
  const ask = () => {
    sent = Math.max(sent, model.get("told").n ?? 0) + 1;
    model.set("asked", { n: sent, values, units, pinned, typed, line });
    model.save_changes();
  };
  const change = (key, value) => {
    values = { ...values, [key]: value };
    ask();
  };

  // ---- the controls -------------------------------------------------------
  const problemOf = (id) => make("p", { id, class: "ck-problem", hidden: true });
  const setProblem = (row, text) => {
    row.problem.hidden = !text;
    row.problem.textContent = text || "";
    if (row.field) {
      if (text) row.field.setAttribute("aria-invalid", "true");
      else row.field.removeAttribute("aria-invalid");
    }
  };

  const sliderRow = (control) => {
    const id = `${uid}-${control.key}`;
    const range = make("input", {
      type: "range", id, "data-key": control.key, "aria-describedby": `${id}-hint`,
    });
    const field = make("input", {
      type: "text", inputmode: "decimal", autocomplete: "off", id: `${id}-typed`,
      "data-typed": control.key, "aria-describedby": `${id}-problem`,
    });
    const unit = make("span", { class: "ck-unit", "aria-hidden": "true" });
    const problem = problemOf(`${id}-problem`);
    const row = { range, field, problem, control };
    const scale = () => control.scales[units];
    const write = (value) => {
      const { factor, digits } = scale();
      return (value / factor).toFixed(digits).replace(/^-(0(\.0*)?)$/, "$1");
    };
    row.show = (keepText) => {
      const { factor, unit: symbol, low, high, step, digits } = scale();
      Object.assign(range, { min: low, max: high, step });
      range.value = (values[control.key] / factor).toFixed(digits + 3);
      range.setAttribute("aria-valuetext", `${write(values[control.key])} ${symbol}`.trim());
      field.setAttribute("aria-label", `${control.label}, typed${symbol && `, in ${symbol}`}`);
      unit.textContent = symbol;
      if (!keepText) field.value = write(values[control.key]);
    };
    range.addEventListener("input", () => {
      stop();
      setProblem(row, "");
      values = { ...values, [control.key]: Number(range.value) * scale().factor };
      row.show();
      ask();
    });
    const send = () => {
      if (field.value === write(values[control.key]) && row.problem.hidden) return;
      stop();
      typed = { ...typed, [control.key]: field.value };
      ask();
    };
    field.addEventListener("change", send); // on Enter and on leaving the field
    rows[control.key] = row;
    return make("div", { class: "ck-row" },
      make("label", { for: id }, control.label),
      make("span", { class: "ck-pair" }, range, field, unit),
      make("p", { id: `${id}-hint`, class: "ck-hint" }, control.hint), problem);
  };

  const choiceRow = (control) => {
    const id = `${uid}-${control.key}`;
    const select = make("select", { id, "data-key": control.key },
      ...control.options.map(([value, text]) => make("option", { value }, text)));
    select.addEventListener("change", () => { stop(); change(control.key, select.value); });
    rows[control.key] = { show: () => { select.value = values[control.key]; }, control };
    return make("div", { class: "ck-row ck-choice" }, make("label", { for: id }, control.label), select);
  };

  const tickRow = (control) => {
    const id = `${uid}-${control.key}`;
    const box = make("input", { type: "checkbox", id, "data-key": control.key });
    box.addEventListener("change", () => change(control.key, box.checked));
    rows[control.key] = { show: () => { box.checked = values[control.key]; }, control };
    return make("div", { class: "ck-row ck-tick" }, box, make("label", { for: id }, control.label));
  };

  // steps taken one after the other; the value is their names, parted by commas
  const stepsRow = (control) => {
    const id = `${uid}-${control.key}`;
    const taken = () => (values[control.key] ? values[control.key].split(", ") : []);
    const set = (list) => change(control.key, list.join(", "));
    const back = button("back", "Take one back", () => set(taken().slice(0, -1)));
    const none = button("none", "Begin again", () => set([]));
    rows[control.key] = { show: () => { }, control };
    return make("div", { class: "ck-row", role: "group", "aria-labelledby": id, "data-key": control.key },
      make("p", { id, class: "ck-group" }, control.label),
      make("div", { class: "ck-buttons" },
        ...control.options.map(([name, text]) => button(name, text, () => set([...taken(), name])))),
      make("div", { class: "ck-buttons" }, back, none));
  };

  const kinds = { slider: sliderRow, choice: choiceRow, tick: tickRow, steps: stepsRow };
  // a field in which somebody types, or whose text could not be read, keeps its text
  const showAll = (read = []) => Object.entries(rows).forEach(([key, row]) => row.show(row.field
    && (!row.problem.hidden || (row.field === document.activeElement && !read.includes(key)))));

  // ---- buttons, unit system, the setting in one line -----------------------
  const button = (name, text, act) => {
    const node = make("button", { type: "button", "data-do": name }, text);
    node.addEventListener("click", act);
    return node;
  };
  const unitSelect = make("select", { id: `${uid}-units`, "data-key": "units" },
    make("option", { value: "metric" }, "metric (mm, N)"),
    make("option", { value: "inch-pound" }, "inch-pound (in, lbf)"));
  unitSelect.value = units;
  unitSelect.addEventListener("change", () => { units = unitSelect.value; showAll(); ask(); });

  const reset = button("reset", "Reset", () => {
    stop();
    values = { ...plan.start };
    for (const row of Object.values(rows)) if (row.problem) setProblem(row, "");
    setProblem(setting, "");
    showAll();
    ask();
  });
  const pin = button("pin", "", () => { pinned = pinned ? null : { ...values }; labelPin(); ask(); });
  const labelPin = () => { pin.textContent = pinned ? "Let go of the pinned setting" : "Pin this setting"; };
  const play = button("play", "", () => (playing ? stop() : start()));
  const labelPlay = () => { play.textContent = playing ? "Stop" : "Play the motion"; };

  const setting = {
    field: make("input", {
      type: "text", id: `${uid}-line`, class: "ck-line", autocomplete: "off", spellcheck: "false",
      "data-typed": "line", "aria-describedby": `${uid}-line-problem`,
    }),
    problem: problemOf(`${uid}-line-problem`),
  };
  const copied = make("span", { role: "status", class: "ck-copied" });
  const copy = button("copy", "Copy", async () => {
    setting.field.select();
    try { await navigator.clipboard.writeText(setting.field.value); } catch { document.execCommand?.("copy"); }
    copied.textContent = "Copied.";
    setTimeout(() => { copied.textContent = ""; }, 2000);
  });
  const useLine = () => { stop(); line = setting.field.value; ask(); };
  const use = button("use", "Use this line", useLine);

  // ---- the motion ----------------------------------------------------------
  const stop = () => { if (playing) { playing = null; labelPlay(); speakSoon(); } };
  const start = () => {
    playing = { from: performance.now() };
    labelPlay();
    step();
  };
  const step = () => {
    if (!playing) return;
    const { control } = rows[plan.play];
    const share = (performance.now() - playing.from) / 1000 / PLAY_SECONDS;
    const { factor, low, high, step: grid } = control.scales[units];
    if (share >= 1) { change(plan.play, low * factor); stop(); rows[plan.play].show(); return; }
    const there = low + (high - low) * (1 - Math.abs(1 - 2 * share));
    const value = Math.round(there / grid) * grid * factor;
    if (Math.abs(value - values[plan.play]) < 1e-9) { requestAnimationFrame(step); return; }
    change(plan.play, value);
    rows[plan.play].show();
  };

  // ---- what comes back -----------------------------------------------------
  const pictures = make("div", { class: "ck-pictures" });
  const words = make("p", { class: "ck-words" });
  const trouble = make("p", { class: "ck-problem", role: "alert", hidden: true });
  const aloud = make("div", { class: "ck-aloud", role: "status", "aria-live": "polite" });
  const speakSoon = () => {
    clearTimeout(reading);
    if (!playing) reading = setTimeout(() => { aloud.textContent = model.get("told").spoken; }, SPEAK_AFTER);
  };
  const panes = plan.pictures.map((name) => ({ name, svg: "", node: make("div", { class: "ck-picture" }) }));
  pictures.append(...panes.map((pane) => pane.node));
  const paint = () => {
    const told = model.get("told");
    for (const pane of panes) {
      const svg = model.get(pane.name);
      if (svg !== pane.svg) pane.node.innerHTML = svg.replaceAll("LABID", uid);
      pane.svg = svg;
    }
    words.textContent = model.get("words");
    trouble.hidden = !told.problem;
    if (trouble.textContent !== told.problem) trouble.textContent = told.problem;
    if (told.n >= sent) {
      const read = Object.keys(typed ?? {});
      for (const key of read) setProblem(rows[key], told.problems[key]);
      if (line !== null) setProblem(setting, told.problems.line);
      typed = line = null;
      ({ units, pinned } = told);
      values = { ...told.values };
      unitSelect.value = units;
      labelPin();
      showAll(read);
      if (setting.problem.hidden) setting.field.value = told.line;
    }
    requestAnimationFrame(() => setTimeout(() => {
      root.dataset.revision = told.n;
      if (playing && told.n >= sent) step();
    }));
  };
  const answered = () => { paint(); speakSoon(); };

  const root = make("section", { class: "controlkit-lab", "aria-label": plan.title, "data-revision": "" },
    make("div", { class: "ck-controls" },
      ...plan.controls.map((control) => kinds[control.type](control)),
      make("div", { class: "ck-row ck-choice" }, make("label", { for: `${uid}-units` }, "Units"), unitSelect),
      make("div", { class: "ck-buttons" }, ...(plan.play ? [play] : []), pin, reset)),
    make("div", { class: "ck-right" }, pictures, trouble, words,
      make("div", { class: "ck-setting" },
        make("label", { for: `${uid}-line` }, "This setting in one line"),
        setting.field, copy, use, copied, setting.problem)),
    aloud);
  el.append(root);
  labelPlay();

  // The notebook takes arrow keys, Enter and letters for itself in command mode. Keys whose target
  // is one of our controls are kept from it; what the control does with them is not touched. (In
  // VS Code the output lives in its own frame, where nobody else listens: no harm, no need.)
  const keep = (event) => {
    if (!root.contains(event.target) || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Escape") { stop(); return; }
    if (event.key === "Tab" || (event.key === "Enter" && event.shiftKey)) return;
    event.stopImmediatePropagation();
    if (event.key === "Enter" && event.target === setting.field) useLine();
  };
  window.addEventListener("keydown", keep, true);
  model.on("change:told", answered);
  paint();
  return () => {
    window.removeEventListener("keydown", keep, true);
    model.off("change:told", answered);
    clearTimeout(reading);
    playing = null;
  };
}

export default { render };
