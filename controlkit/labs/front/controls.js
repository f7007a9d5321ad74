// The controls of a lab: sliders that can be typed, menus, ticks, steps.

const problemOf = (id) => make("p", { id, class: "ck-problem", hidden: true });

const setProblem = (row, text) => {
  row.problem.hidden = !text;
  row.problem.textContent = text || "";
  if (!row.field) return;
  if (text) row.field.setAttribute("aria-invalid", "true");
  else row.field.removeAttribute("aria-invalid");
};

const hintButton = (id, control) => {
  const node = button("hint", "?", () => {
    const hint = node.getRootNode().getElementById(`${id}-hint`);
    hint.hidden = !hint.hidden;
    node.setAttribute("aria-expanded", String(!hint.hidden));
  }, { class: "ck-ask", "aria-expanded": "false", "aria-controls": `${id}-hint` });
  named(node, `What is ${control.label}?`);
  return node;
};

const sliderRow = (lab, control) => {
  const id = `${lab.uid}-${control.key}`;
  const range = make("input", {
    type: "range", id, "data-key": control.key, "aria-describedby": `${id}-hint`,
  });
  const field = make("input", {
    type: "text", inputmode: "decimal", autocomplete: "off", id: `${id}-typed`,
    "data-typed": control.key, "aria-describedby": `${id}-problem`,
  });
  const unit = make("span", { class: "ck-unit", "aria-hidden": "true" });
  const row = { control, range, field, problem: problemOf(`${id}-problem`) };
  const scale = () => control.scales[lab.units];
  const write = (value, plain = false) => { // with up to two decimals more where these make it true; else with one
    const { factor, digits } = scale();
    const [usual, ...longer] = [0, 1, 2].map((more) => (value / factor).toFixed(digits + more));
    const text = plain ? usual
      : [usual, ...longer].find((one) => Math.abs(one - value / factor) < 1e-6) ?? (digits ? usual : longer[0]);
    return text.replace(/^-(0(\.0*)?)$/, "$1");
  };
  row.lean = (value) => { // show a value on the slider without taking it
    const { factor, digits } = scale();
    range.value = (value / factor).toFixed(digits + 3);
    field.value = write(value, true);
  };
  row.show = (keepText) => {
    const { unit: symbol, low, high, step } = scale();
    const text = keepText ? field.value : write(lab.values[control.key]);
    Object.assign(range, { min: low, max: high, step });
    row.lean(lab.values[control.key]);
    field.value = text;
    range.setAttribute("aria-valuetext", `${write(lab.values[control.key])} ${symbol}`.trim());
    field.setAttribute("aria-label", `${control.label}, typed${symbol && `, in ${symbol}`}`);
    unit.textContent = symbol;
  };
  row.put = (value) => { // take a value from a picture: on a finer grid than the slider's own
    const { factor, low, high, step } = scale();
    const grid = step / control.parts;
    const inside = Math.min(Math.max(Math.round(value / factor / grid) * grid, low), high) * factor;
    if (Math.abs(inside - lab.values[control.key]) < 1e-9) return false;
    lab.values = { ...lab.values, [control.key]: inside };
    setProblem(row, "");
    row.show();
    return true;
  };
  range.addEventListener("pointerdown", lab.hold);
  range.addEventListener("input", () => {
    lab.stop();
    setProblem(row, "");
    lab.move(control.key, Number(range.value) * scale().factor);
    row.show();
    lab.ask();
  });
  field.addEventListener("change", () => { // on Enter and on leaving the field
    if (field.value === write(lab.values[control.key]) && row.problem.hidden) return;
    lab.stop();
    lab.typed = { ...lab.typed, [control.key]: field.value };
    lab.ask();
  });
  row.node = make("div", { class: "ck-row ck-slider" },
    make("div", { class: "ck-head" }, make("label", { for: id }, control.label),
      ...(control.hint ? [hintButton(id, control)] : []),
      make("span", { class: "ck-pair" }, field, unit)),
    range,
    ...(control.named?.length ? [make("div", { class: "ck-buttons ck-named" }, ...control.named.map(([name, value]) =>
      button(`${control.key}-${name}`, name, () => { lab.stop(); setProblem(row, ""); lab.change(control.key, value); row.show(); })))] : []),
    make("p", { id: `${id}-hint`, class: "ck-hint", hidden: true }, control.hint), row.problem);
  return row;
};

const choiceRow = (lab, control) => {
  const id = `${lab.uid}-${control.key}`;
  const options = control.options.map(([value, text]) => make("option", { value }, text));
  let at = 0;
  const grouped = (control.groups ?? []).map(([label, count]) => make("optgroup", { label }, ...options.slice(at, at += count)));
  const select = make("select", { id, "data-key": control.key }, ...grouped, ...options.slice(at));
  select.addEventListener("change", () => { lab.stop(); lab.change(control.key, select.value); });
  return {
    control,
    show: () => { select.value = lab.values[control.key]; },
    node: make("div", { class: `ck-row ck-choice${control.groups ? " ck-long" : ""}` }, make("label", { for: id }, control.label), select),
  };
};

const tickRow = (lab, control) => {
  const id = `${lab.uid}-${control.key}`;
  const box = make("input", { type: "checkbox", id, "data-key": control.key });
  box.addEventListener("change", () => { lab.stop(); lab.change(control.key, box.checked); });
  return {
    control,
    show: () => { box.checked = lab.values[control.key]; },
    node: make("div", { class: "ck-row ck-tick" }, box, make("label", { for: id }, control.label)),
  };
};

// steps taken one after the other; the value is their names, parted by commas; a step is chosen in menus, or has a button
const stepsRow = (lab, control) => {
  const id = `${lab.uid}-${control.key}`;
  const taken = () => (lab.values[control.key] ? lab.values[control.key].split(", ") : []);
  const set = (list) => lab.change(control.key, list.join(", "));
  const take = (name) => () => set([...taken(), name()]);
  const buttons = control.chosen
    ? [button("take", control.does, take(() => control.chosen.map((key) => lab.values[key]).join("@")))]
    : control.options.map(([name, text]) => button(name, text, take(() => name)));
  return {
    control,
    show: () => { },
    node: make("div", { class: "ck-row", role: "group", "aria-labelledby": id, "data-key": control.key },
      make("p", { id, class: "ck-group" }, control.label),
      make("div", { class: "ck-buttons" }, ...buttons),
      make("div", { class: "ck-buttons" },
        button("back", "Take one back", () => set(taken().slice(0, -1))),
        button("none", "Begin again", () => set([])))),
  };
};

const KINDS = { slider: sliderRow, choice: choiceRow, tick: tickRow, steps: stepsRow };

const unitsRow = (lab) => {
  const select = make("select", { id: `${lab.uid}-units`, "data-key": "units" },
    make("option", { value: "metric" }, "metric"),
    make("option", { value: "inch-pound" }, "inch-pound"));
  select.addEventListener("change", () => { lab.stop(); lab.units = select.value; lab.showAll(); lab.ask(); });
  return {
    control: { type: "choice" },
    show: () => { select.value = lab.units; },
    node: make("div", { class: "ck-row ck-choice" }, make("label", { for: `${lab.uid}-units` }, "Units"), select),
  };
};

// the setting in one line: copied, pasted, used
const settingLine = (lab) => {
  const row = {
    field: make("input", {
      type: "text", id: `${lab.uid}-line`, class: "ck-line", autocomplete: "off", spellcheck: "false",
      "data-typed": "line", "aria-describedby": `${lab.uid}-line-problem`,
    }),
    problem: problemOf(`${lab.uid}-line-problem`),
  };
  row.use = () => { lab.stop(); lab.line = row.field.value; lab.ask(); };
  const copied = make("span", { role: "status", class: "ck-copied" });
  const copy = button("copy", "Copy", async () => {
    row.field.select();
    try { await navigator.clipboard.writeText(row.field.value); } catch { document.execCommand?.("copy"); }
    copied.textContent = "Copied.";
    setTimeout(() => { copied.textContent = ""; }, 2000);
  });
  row.node = make("div", { class: "ck-setting" },
    make("label", { for: `${lab.uid}-line` }, "This setting in one line"),
    row.field, copy, button("use", "Use this line", row.use), copied, row.problem);
  return row;
};
