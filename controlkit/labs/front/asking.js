// One question at a time: the newest waits, those before it are forgotten.

const PATIENCE = 8000; // milliseconds after which a question is taken for lost

const asking = (lab) => {
  let waiting = 0;
  let again = false;
  let since = 0;
  const ask = () => {
    if (waiting && performance.now() - since < PATIENCE) { again = true; return; }
    since = performance.now();
    again = false;
    lab.sent = Math.max(lab.sent, lab.told().n ?? 0) + 1;
    waiting = lab.sent;
    const { values, units, pinned, typed, line, held } = lab;
    lab.model.set("asked", { n: lab.sent, values, units, pinned, typed, line, held });
    lab.model.save_changes();
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
  const over = () => { for (const end of ends) window.removeEventListener(end, letGo, true); };
  // whether what has come answers all that was asked
  const settled = () => {
    if (lab.told().n >= waiting) waiting = 0;
    if (!waiting && again) { ask(); return false; }
    return !waiting;
  };
  return { ask, settled, hold, over };
};
