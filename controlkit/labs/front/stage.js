// Pictures and the few large readings.

// how large each picture stands; asking the page for it after a change would lay it out at once
const sizes = new ResizeObserver((entries) => {
  for (const { target, contentRect } of entries) target.sized(contentRect.width, contentRect.height);
});

const panesOf = (lab) => lab.plan.pictures.map((name, number) => {
  const over = document.createElementNS(SVG, "svg");
  over.setAttribute("class", "ck-over");
  over.setAttribute("aria-hidden", "true");
  const art = make("div", { class: "ck-art" });
  const pane = { name, art, over, text: null, shape: 1, natural: 300, wide: 300, tall: 300, node: make("div", { class: "ck-picture" }, art, over) };
  pane.node.sized = (wide, tall) => { if (wide) { Object.assign(pane, { wide, tall }); pane.resized?.(); } };
  sizes.observe(pane.node);
  pane.staged = number < lab.plan.stage;
  pane.paint = () => {
    const text = lab.model.get(name);
    if (text === pane.text) return;
    pane.text = text;
    pane.put(text);
  };
  pane.put = (text) => {
    art.innerHTML = text.replaceAll("LABID", lab.uid);
    pane.node.hidden = !text;
    const box = art.firstChild?.getAttribute("viewBox");
    if (!box) return;
    over.setAttribute("viewBox", box);
    const [, , wide, tall] = box.split(" ").map(Number);
    pane.shape = wide / tall;
    pane.natural = wide;
    pane.node.style.setProperty("--ck-natural", `${wide / 10}px`); // what is drawn for a column has tenths of a pixel
    pane.node.style.aspectRatio = `${wide} / ${tall}`;
  };
  return pane;
});

const readingsOf = () => {
  const node = make("dl", { class: "ck-readings" });
  const cells = [];
  const cellOf = (entry) => {
    const cell = {
      label: make("dt"), value: make("span"), unit: make("small"),
      note: make("span", { class: "ck-note" }), bar: make("i"),
    };
    cell.rail = make("span", { class: "ck-bar", "aria-hidden": "true" }, cell.bar);
    node.append(make("div", { class: "ck-reading" }, cell.label,
      make("dd", {}, make("b", {}, cell.value, " ", cell.unit), cell.note, cell.rail)));
    return cell;
  };
  const tell = (list) => {
    list.forEach((entry, i) => {
      const cell = (cells[i] ??= cellOf(entry));
      say(cell.label, entry.label);
      say(cell.value, entry.value);
      say(cell.unit, entry.unit);
      say(cell.note, entry.note);
      cell.rail.hidden = entry.share == null;
      if (entry.share == null) return;
      cell.bar.style.width = `${100 * Math.min(Math.max(entry.share, 0), 1)}%`;
      cell.bar.className = entry.share >= 1 ? "ck-full" : "";
    });
    while (cells.length > list.length) { cells.pop(); node.lastChild.remove(); }
    node.hidden = !list.length;
  };
  return { node, tell };
};

const legendOf = () => {
  const node = make("p", { class: "ck-legend", hidden: true });
  let shown = "";
  const tell = (entries) => {
    if (JSON.stringify(entries) === shown) return;
    shown = JSON.stringify(entries);
    node.hidden = !entries.length;
    node.replaceChildren(...entries.map(([name, edge, inside]) => make("span", {},
      make("i", { style: `background:${inside};border-color:${edge}`, "aria-hidden": "true" }), name)));
  };
  return { node, tell };
};
