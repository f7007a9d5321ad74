// The room that there is: what is moved, the pictures and the readings are in view together.

const SETTLED = 600; // milliseconds in which the page makes its own moves after a cell was run
const HALTED = 4000; // milliseconds after the page stopped at a sentence, in which it is that sentence that is brought
const NOTED = 480; // height from which a second line below the readings costs the pictures nothing
const CARDS = 640; // width that readings have where there is room: their second lines break as seldom as may be
const COLUMN = 276; // width of the charts beside the pictures, or less where they are drawn for less
const CHART = 0.89; // of the width for which a chart is drawn: its letters can still be read

const roomOf = (lab) => {
  const { root } = lab;
  let around = null; // what scrolls the page
  let held = ""; // the room for which readings and legend keep their height
  // a page with more to say must not push the pictures about: what the parts beside them have needed stays theirs
  const hold = (room, wide) => {
    const parts = [...lab.stage.children].filter((node) => node.matches(".ck-readings, .ck-legend"));
    if (room !== held) {
      root.style.setProperty("--ck-stage", `${Math.floor(wide)}px`); // as wide as they will be
      for (const node of parts) node.style.minHeight = "";
    }
    held = room;
    for (const node of parts) if (node.offsetHeight) node.style.minHeight = `${node.offsetHeight}px`;
  };
  const scroller = () => { // the outermost: an output may scroll too, but is as high as what it holds
    let found = document.documentElement;
    for (let up = root.parentElement; up; up = up.parentElement) {
      if (/auto|scroll/.test(getComputedStyle(up).overflowY) && up.clientHeight > 120) found = up;
    }
    return found;
  };
  const fit = () => {
    if (!root.isConnected) return;
    around = scroller();
    const room = Math.max(around.clientHeight - 12, 170);
    const wide = root.clientWidth;
    const layout = wide >= 980 && room >= 430 ? "wide" : "side";
    root.dataset.layout = layout;
    root.dataset.size = room >= 340 && wide >= 700 ? "roomy" : room >= 240 ? "tight" : "tiny";
    root.dataset.notes = layout === "wide" || room >= NOTED ? "yes" : "no";
    const home = layout === "side" ? lab.controls : lab.stage; // where there is room for the buttons
    if (lab.buttons.parentElement !== home) home[home === lab.stage ? "append" : "prepend"](lab.buttons);
    root.style.setProperty("--ck-room", `${room}px`);
    const strip = layout === "wide" ? lab.tasks.node.offsetHeight + lab.more.offsetHeight + 34 : root.dataset.size === "tiny" ? 8 : 14;
    const inner = room - strip;
    const column = Math.min(COLUMN, ...lab.panes.filter((pane) => !pane.staged && !pane.node.hidden).map((pane) => CHART * pane.natural / 10));
    const broad = layout === "wide" ? wide - 250 - (lab.curves.hidden ? 0 : column) - 56 : wide * (root.dataset.size === "tiny" ? 0.63 : 0.6);
    const least = layout === "wide" ? Math.min(broad, CARDS) : Math.min(300, wide - 230);
    hold(`${layout} ${root.dataset.size} ${wide}`, layout === "wide" ? least : broad);
    const gap = root.dataset.size === "tiny" ? 1 : 4;
    const beside = [...lab.stage.children].filter((node) => node !== lab.pictures && node.offsetHeight)
      .reduce((sum, node) => sum + node.offsetHeight + gap, 0);
    const shown = lab.panes.filter((pane) => pane.staged && !pane.node.hidden);
    const shape = shown.reduce((sum, pane) => sum + pane.shape, 0) || 1;
    const tall = Math.max(Math.min(inner - beside, (broad - 8 * shown.length) / shape), 80);
    root.style.setProperty("--ck-tall", `${Math.floor(tall)}px`);
    root.style.setProperty("--ck-stage", `${Math.floor(Math.max(Math.min(broad, tall * shape + 8 * shown.length), least))}px`);
    root.style.setProperty("--ck-inner", `${Math.floor(inner)}px`);
    if (layout === "wide" && lab.curves.scrollHeight > lab.curves.clientHeight + 1) lab.curves.tabIndex = 0;
    else lab.curves.removeAttribute("tabindex");
  };
  // whoever works in the lab, or has just run its cell, sees all of it
  const bring = () => {
    const mine = root.getBoundingClientRect();
    const start = around === document.documentElement ? 0 : around.getBoundingClientRect().y;
    const [above, below] = [mine.y - start, mine.y + mine.height - start - around.clientHeight];
    const seen = above < around.clientHeight && mine.y + mine.height > start;
    return { seen, move: () => { if (above < 0 || below > 0) around.scrollTop += above - 6; } };
  };
  root.addEventListener("focusin", (event) => {
    if (around && event.target.matches(":focus-visible")) bring().move();
  });
  let next = 0;
  const soon = () => { cancelAnimationFrame(next); next = requestAnimationFrame(fit); };
  const watch = new ResizeObserver(soon);
  const begin = () => {
    for (const node of [root.parentElement, lab.tasks.node, lab.more, ...lab.stage.children]) {
      if (node !== lab.pictures) watch.observe(node);
    }
    fit();
    watch.observe(around);
    setTimeout(() => {
      const halted = performance.now() - (window.controlkitHalted ?? -HALTED) < HALTED;
      if (!halted && root.isConnected && bring().seen) bring().move();
    }, SETTLED);
  };
  return { fit, begin, end: () => watch.disconnect() };
};
