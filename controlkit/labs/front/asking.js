// One question at a time: the newest waits, those before it are forgotten. What gets lost on its way is asked again.

const PATIENCE = 3000; // milliseconds after which a question or its answer is taken for lost, and then twice as long

const asking = (lab) => {
  let waiting = 0;
  let again = false;
  let losing = 0;
  const put = (asked, patience) => {
    try { lab.model.send({ do: "ask", asked }); } catch { return; } // its kernel is gone
    lab.root.dataset.asked = asked.n;
    losing = setTimeout(() => put(asked, 2 * patience), patience);
  };
  const ask = () => {
    if (waiting) { again = true; return; }
    again = false;
    lab.sent = Math.max(lab.sent, lab.told().n ?? 0) + 1;
    waiting = lab.sent;
    const { values, units, pinned, typed, line, held } = lab;
    put({ n: lab.sent, values: { ...values }, units, pinned, typed, line, held }, PATIENCE);
  };
  // while a hand drags, no prediction is decided; where it lets go, all is asked once more
  const hold = () => { lab.held = true; lab.tasks.hold(true); };
  const letGo = () => {
    if (!lab.held) return;
    lab.held = false;
    lab.tasks.hold(false);
    ask();
  };
  const ends = ["pointerup", "pointercancel"];
  for (const end of ends) window.addEventListener(end, letGo, true);
  const over = () => {
    clearTimeout(losing);
    for (const end of ends) window.removeEventListener(end, letGo, true);
  };
  // whether what has come answers all that was asked
  const settled = () => {
    if (waiting && lab.told().n >= waiting) {
      waiting = 0;
      clearTimeout(losing);
    }
    if (!waiting && again) { ask(); return false; }
    return !waiting;
  };
  return { ask, settled, hold, over };
};
