// All parts of one lab, put together.

let count = 0;
const SPEAK_AFTER = 400; // milliseconds of rest before the words are announced

function render({ model, el }) {
  const plan = model.get("plan");
  const lab = {
    model, plan, uid: `controlkit-${++count}-${Math.random().toString(36).slice(2, 8)}`,
    told: () => model.get("told"), rows: {}, typed: null, line: null, held: false,
  };
  ({ units: lab.units, n: lab.sent, pinned: lab.pinned = null } = lab.told());
  lab.values = { ...lab.told().values };

  const question = asking(lab);
  lab.ask = question.ask;
  lab.hold = question.hold;
  const records = recordsOf(lab);
  lab.move = (key, value) => { lab.values = records.moved(lab.values, { ...lab.values, [key]: value }); };
  lab.change = (key, value) => { lab.move(key, value); lab.ask(); };
  lab.nameOf = (key, value) => lab.rows[key]?.control.options?.find(([name]) => name === value)?.[1] ?? value;

  // ---- words --------------------------------------------------------------
  const words = make("p", { class: "ck-words" });
  const trouble = make("p", { class: "ck-problem ck-trouble", role: "alert", hidden: true });
  const aloud = make("div", { class: "ck-aloud", role: "status", "aria-live": "polite" });
  let reading = 0;
  lab.speak = (text) => { clearTimeout(reading); aloud.textContent = text; };
  const speakSoon = () => {
    clearTimeout(reading);
    reading = setTimeout(() => { if (!film.on) aloud.textContent = `${lab.told().spoken} ${lab.tasks.spoken}`.trim(); }, SPEAK_AFTER);
  };
  lab.tellTrouble = (text) => { trouble.hidden = !text; say(trouble, text); };

  // ---- controls -----------------------------------------------------------
  for (const control of plan.controls) lab.rows[control.key] = KINDS[control.type](lab, control);
  const units = unitsRow(lab);
  const setting = settingLine(lab);
  // a field in which somebody types, or whose text could not be read, keeps its text
  lab.showAll = (read = []) => {
    units.show();
    for (const [key, row] of Object.entries(lab.rows)) {
      row.show(row.field && (!row.problem.hidden || (row.field === document.activeElement && !read.includes(key))));
    }
  };
  const reset = button("reset", "Reset", () => {
    lab.stop();
    lab.values = { ...plan.start };
    records.forget();
    lab.pinned = null;
    for (const row of Object.values(lab.rows)) if (row.problem) setProblem(row, "");
    setProblem(setting, "");
    labelPin();
    lab.showAll();
    lab.ask();
  });
  named(reset, "Reset to the start");
  const more = button("more", "", () => model.send({ do: lab.told().rests ? "go-on" : "rest" }));
  const asLeft = make("span", { class: "ck-as-left" }, plan.left);
  const pin = button("pin", "", () => {
    lab.stop();
    lab.pinned = lab.pinned ? null : { ...lab.values };
    labelPin();
    lab.ask();
  });
  const labelPin = () => {
    say(pin, lab.pinned ? "Let go" : "Pin");
    named(pin, lab.pinned ? "Let go of the pinned setting" : "Pin this setting");
    pin.setAttribute("aria-pressed", String(Boolean(lab.pinned)));
  };
  lab.otherBody = (had) => {
    lab.stop();
    const names = lab.rows[plan.another].control.options.map(([name]) => name);
    const here = names.indexOf(lab.values[plan.another]);
    const order = names.map((_, i) => names[(here + 1 + i) % names.length]);
    lab.change(plan.another, order.find((name) => !had.includes(name)) ?? order[0]);
    lab.showAll();
  };

  // ---- parts --------------------------------------------------------------
  lab.panes = panesOf(lab);
  const readings = readingsOf();
  const legend = legendOf();
  const notes = notesOf(lab);
  const film = filmOf(lab);
  const grips = gripsOf(lab);
  const sound = soundOf(lab);
  lab.tasks = tasksOf(lab);
  lab.stop = film.stop;
  lab.judgeLater = () => { lab.tasks.waitWith(true); lab.tasks.tell(); };
  lab.passing = (live) => { // a moment of the motion
    readings.tell(live.readings);
    grips.place(live.handles);
    sound.sound(live.tone);
  };
  lab.back = () => {
    lab.tasks.waitWith(false);
    take();
    lab.showAll();
    live();
    speakSoon();
  };
  const showWhatCounts = (idle) => { // controls that change nothing here only stand in the way
    for (const [key, row] of Object.entries(lab.rows)) row.node.hidden = idle.includes(key);
    film.play.hidden = idle.includes(plan.play);
  };
  const live = () => {
    const told = lab.told();
    showWhatCounts(told.idle);
    readings.tell(told.readings);
    legend.tell(told.legend);
    grips.place(told.handles);
    sound.sound(told.tone);
    lab.tasks.tell();
  };

  // ---- what comes back ----------------------------------------------------
  const take = () => { // the setting of the last answer, unless a later one is on its way
    const told = lab.told();
    if (!question.settled() || told.n < lab.sent || grips.held) return;
    const read = Object.keys(lab.typed ?? {});
    for (const key of read) setProblem(lab.rows[key], told.problems[key]);
    if (lab.line !== null) setProblem(setting, told.problems.line);
    lab.units = told.units;
    lab.pinned = told.pinned ?? null;
    const found = records.told(lab.values, told.values);
    lab.values = { ...found };
    lab.typed = lab.line = null;
    labelPin();
    lab.showAll(read);
    if (found !== told.values) lab.ask(); // a number was typed, and she has been there before
    if (setting.problem.hidden) setting.field.value = told.line;
  };
  const shapes = () => lab.panes.filter((pane) => pane.staged).map((pane) => (pane.node.hidden ? 0 : pane.shape.toFixed(3))).join(" ");
  const paint = () => {
    const told = lab.told();
    asLeft.hidden = !plan.left || told.n > 0;
    const had = shapes();
    for (const pane of lab.panes) pane.paint();
    if (told.n > 0 && shapes() !== had) room.fit(); // another posture, another body: wider or narrower
    more.hidden = !told.more;
    say(more, told.rests ? "▶ Go on" : "■ Stop");
    named(more, told.rests ? "Go on computing" : "Stop computing; what is done stays");
    lab.root.dataset.more = told.more ? "yes" : "no";
    say(words, model.get("words"));
    lab.tellTrouble(told.problem);
    take();
    live();
    requestAnimationFrame(() => setTimeout(() => { lab.root.dataset.revision = told.n; }));
  };
  const answered = () => { paint(); speakSoon(); };
  const keptAnew = () => { notes.show(); lab.tasks.keptAnew(); room.fit(); };

  // ---- the lab ------------------------------------------------------------
  const blocks = Object.values(lab.rows);
  const leading = blocks.slice(0, blocks.findIndex((row) => row.control.type !== "choice")); // menus that come first stay first
  const ofType = (...types) => blocks.filter((row) => types.includes(row.control.type) && !leading.includes(row))
    .map((row) => row.node);
  lab.pictures = make("div", { class: "ck-pictures" }, ...lab.panes.filter((p) => p.staged).map((p) => p.node));
  const charts = lab.panes.filter((pane) => !pane.staged);
  lab.curves = make("div", { class: "ck-curves", role: "group", "aria-label": "Charts", hidden: !charts.length },
    ...charts.map((pane) => pane.node));
  lab.buttons = make("div", { class: "ck-buttons ck-main" }, ...(plan.play ? [film.play] : []), more, pin, reset, notes.add, asLeft);
  lab.stage = make("div", { class: "ck-stage" }, readings.node, trouble, lab.pictures, lab.tasks.chip,
    legend.node, lab.buttons);
  lab.controls = make("div", { class: "ck-controls" },
    make("div", { class: "ck-small", hidden: !leading.length }, ...leading.map((row) => row.node)), ...ofType("slider", "steps"),
    make("div", { class: "ck-small" }, ...ofType("tick"), ...ofType("choice"), units.node, sound.node));
  lab.more = make("div", { class: "ck-more" },
    make("details", { class: "ck-told" }, make("summary", {}, "In words"), words), notes.node,
    make("details", { class: "ck-lines" }, make("summary", {}, "This setting in one line"), setting.node));
  lab.root = make("section", { class: "controlkit-lab", "aria-label": plan.title, "data-revision": "" },
    lab.tasks.node, lab.stage, lab.controls, lab.curves, lab.more, aloud);
  const room = roomOf(lab);
  lab.fit = room.fit;
  el.append(make("style", {}, `#${plan.still} { display: none; }`), lab.root); // above a living lab
  labelPin();

  // The page takes arrow keys, Enter and letters for itself in command mode. Keys whose target is
  // one of our controls are kept from it; what the control does with them is not touched. Only
  // Shift+Enter on a button or a slider still runs the cell; in a field it hands in the text.
  const keep = (event) => {
    if (!lab.root.contains(event.target) || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Escape") { lab.stop(); return; }
    if (event.key === "Tab") return;
    const typing = event.target.matches("input[type=text]");
    if (event.key === "Enter" && event.shiftKey && !typing) return;
    event.stopImmediatePropagation();
    if (event.key !== "Enter" || !typing) return;
    if (event.target === setting.field) setting.use();
    else if (event.shiftKey) event.target.dispatchEvent(new Event("change"));
  };
  window.addEventListener("keydown", keep, true);
  model.on("change:told", answered);
  model.on("change:noted", keptAnew);
  model.on("msg:custom", film.arrived);
  notes.show();
  paint();
  lab.showAll();
  if (!asLeft.hidden) lab.speak(plan.left);
  requestAnimationFrame(room.begin);
  return () => {
    window.removeEventListener("keydown", keep, true);
    model.off("change:told", answered);
    model.off("change:noted", keptAnew);
    model.off("msg:custom", film.arrived);
    clearTimeout(reading);
    film.stop();
    question.over();
    sound.close();
    room.end();
  };
}

export default { render };
