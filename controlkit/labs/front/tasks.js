// Predictions and challenges: one at a time in a strip above the lab.

const tasksOf = (lab) => {
  const { predictions, challenges } = lab.plan;
  const tasks = [
    ...predictions.map((task, i) => ({ kind: "prediction", number: i, of: predictions.length, ...task })),
    ...challenges.map((task, i) => ({ kind: "challenge", number: i, of: challenges.length, ...task })),
  ];
  const kept = () => lab.model.get("noted");
  const done = (task) => (task.kind === "prediction" ? kept().answered[task.key] : kept().met[task.title]?.length);
  const first = tasks.findIndex((task) => !done(task));
  let at = Math.max(first, 0);
  let later = false;
  let chosen = false;

  const title = make("b");
  const text = make("span");
  const verdict = make("span", { class: "ck-verdict" });
  const choices = make("div", { class: "ck-buttons ck-options", role: "group", "aria-label": "Your prediction" });
  const another = button("another", "Try on another body", () => lab.otherBody(bodiesOf(tasks[at])));
  const dots = make("span", { class: "ck-dots", "aria-hidden": "true" });
  const before = button("before", "‹", () => go(-1));
  const next = button("next", "›", () => go(1));
  named(before, "The task before");
  named(next, "The next task");
  const node = make("div", { class: "ck-goal", role: "group", "aria-label": "Tasks", hidden: !tasks.length },
    make("p", {}, title, text), verdict, choices,
    make("span", { class: "ck-buttons ck-walk" }, another, before, dots, next));
  const chip = make("p", { class: "ck-chip", "aria-hidden": "true", hidden: !tasks.length });

  const go = (by) => { at = (at + by + tasks.length) % tasks.length; tell(); lab.fit(); };
  const bodiesOf = (task) => kept().met[task.title] ?? [];

  const tell = () => {
    if (!tasks.length) return;
    const task = tasks[at];
    const kind = task.kind === "prediction" ? "Predict" : "Challenge";
    say(title, `${kind} ${task.number + 1} of ${task.of}${task.title ? `: ${task.title}` : ""}. `);
    say(text, task.question ?? task.text[lab.units]);
    const now = task.kind === "prediction" ? prediction(task) : challenge(task);
    node.dataset.met = now.met ? "yes" : "no";
    node.dataset.kind = task.kind;
    say(verdict, now.words);
    say(chip, `${task.title ?? "Prediction"}: ${now.short}`);
    chip.dataset.met = node.dataset.met;
    say(dots, tasks.map((one, i) => (i === at ? (done(one) ? "◉" : "◎") : done(one) ? "●" : "○")).join(""));
    dots.title = `${tasks.filter(done).length} of ${tasks.length} done`;
  };
  const prediction = (task) => {
    const said = kept().predicted[task.key];
    const answer = kept().answered[task.key];
    choices.hidden = Boolean(answer);
    another.hidden = true;
    if (choices.dataset.of !== task.key) {
      choices.replaceChildren(...task.options.map(([option, words]) => button(`option-${option}`, words,
        () => choose(task, option))));
      choices.dataset.of = task.key;
    }
    [...choices.children].forEach((choice, i) => {
      choice.setAttribute("aria-pressed", String(task.options[i][0] === said));
    });
    const nameOf = (option) => task.options.find(([name]) => name === option)?.[1] ?? option;
    if (!said) return { met: false, words: "", short: "choose" };
    if (!answer) {
      const next = open() < 0 ? "Now make the move." : "Before you move anything, make the other prediction too.";
      return { met: false, words: `You say: ${nameOf(said)}. ${next}`, short: "make the move" };
    }
    const right = answer[0] === said;
    const words = `${right ? "✓" : "✗"} You said: ${nameOf(said)}. ${answer[1]}`;
    return { met: right, words, short: right ? "✓ as you said" : "not as you said" };
  };
  // one after the other: all predictions are made before the first move
  const open = () => tasks.findIndex((one) => one.kind === "prediction" && !kept().predicted[one.key]);
  const choose = (task, option) => {
    lab.model.send({ do: "predict", key: task.key, option });
    chosen = true;
  };
  const keptAnew = () => {
    const waiting = open();
    const here = choices.contains(document.activeElement); // whoever has gone on to something else stays there
    if (chosen && waiting >= 0) {
      at = waiting;
      tell();
      if (here) choices.firstChild.focus();
    } else tell();
    chosen = false;
  };
  const challenge = (task) => {
    choices.hidden = true;
    const judged = lab.told().verdicts[task.number];
    const bodies = bodiesOf(task).filter((body) => body);
    another.hidden = !lab.plan.another || !bodies.length || later;
    if (later) return { met: false, words: "Judged at your own setting.", short: "at your setting" };
    const who = bodies.map((body) => lab.nameOf(lab.plan.another, body));
    if (judged?.met) return { met: true, words: `✓ Met${who.length ? `: ${who.join(", ")}` : ""}.`, short: "✓ met" };
    const had = bodiesOf(task).length ? ` Met before${who.length ? `: ${who.join(", ")}` : ""}.` : "";
    return { met: false, words: `Not yet: ${(judged?.missing ?? []).join("; ")}.${had}`, short: "not yet" };
  };
  return {
    node, chip, tell, keptAnew,
    waitWith: (yes) => { later = yes; },
    hold: (yes) => { node.style.height = yes && lab.root.dataset.layout === "wide" ? `${node.offsetHeight}px` : ""; },
    get spoken() { return tasks.length && !later ? verdict.textContent : ""; },
  };
};
