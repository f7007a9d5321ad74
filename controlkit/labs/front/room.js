// The room that there is: what is moved, the pictures and the readings are in view together.

const SETTLED = 600; // milliseconds in which the page makes its own moves after a cell was run

const roomOf = (lab) => {
  const { root } = lab;
  let around = null; // what scrolls the page
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
    const home = layout === "side" ? lab.controls : lab.stage; // where there is room for the buttons
    if (lab.buttons.parentElement !== home) home[home === lab.stage ? "append" : "prepend"](lab.buttons);
    root.style.setProperty("--ck-room", `${room}px`);
    const strip = layout === "wide" ? lab.tasks.node.offsetHeight + lab.more.offsetHeight + 34 : root.dataset.size === "tiny" ? 8 : 14;
    const inner = room - strip;
    const gap = root.dataset.size === "tiny" ? 1 : 4;
    const beside = [...lab.stage.children].filter((node) => node !== lab.pictures && node.offsetHeight)
      .reduce((sum, node) => sum + node.offsetHeight + gap, 0);
    const shown = lab.panes.filter((pane) => pane.staged && !pane.node.hidden);
    const shape = shown.reduce((sum, pane) => sum + pane.shape, 0) || 1;
    const broad = layout === "wide" ? wide - 250 - (lab.curves.hidden ? 0 : 276) - 56 : wide * (root.dataset.size === "tiny" ? 0.63 : 0.6);
    const tall = Math.max(Math.min(inner - beside, (broad - 8 * shown.length) / shape), 80);
    root.style.setProperty("--ck-tall", `${Math.floor(tall)}px`);
    const least = layout === "wide" ? 500 : Math.min(300, wide - 230);
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
    setTimeout(() => { if (root.isConnected && bring().seen) bring().move(); }, SETTLED);
  };
  return { fit, begin, end: () => watch.disconnect() };
};
