// What can be taken hold of in a picture. Handles lie in a layer of their own: a picture that is
// painted anew while somebody drags must not tear the handle out of her hand.

const DWELL = 400; // milliseconds above a picture after which it is drawn from every side

const gripsOf = (lab) => {
  const grips = {};
  let held = null;

  const place = (list) => {
    const seen = new Set();
    for (const handle of list) {
      const pane = lab.panes[handle.picture];
      seen.add(handle.name);
      const grip = (grips[handle.name] ??= fresh(handle));
      grip.handle = handle;
      grip.pane = pane;
      pane.resized = resized;
      if (grip.node.parentNode !== pane.over) pane.over[handle.whole ? "prepend" : "append"](grip.node); // below the others
      grip.node.removeAttribute("display");
      if (held !== grip) show(grip, handle.at);
    }
    for (const [name, grip] of Object.entries(grips)) if (!seen.has(name)) grip.node.setAttribute("display", "none");
    if (held) follow();
  };
  const show = (grip, [x, y]) => {
    if (grip.handle.whole) return;
    const { natural, wide, tall } = grip.pane;
    grip.node.setAttribute("r", Math.round(Math.min(13, 5 + 0.03 * tall) * natural / wide));
    grip.node.setAttribute("cx", Math.round(x));
    grip.node.setAttribute("cy", Math.round(y));
  };
  const resized = () => { for (const grip of Object.values(grips)) if (held !== grip) show(grip, grip.handle.at); };
  const fresh = ({ name, whole }) => {
    const node = document.createElementNS(SVG, whole ? "rect" : "circle");
    node.setAttribute("class", whole ? "ck-ground" : "ck-grip");
    if (whole) for (const side of ["width", "height"]) node.setAttribute(side, "100%");
    node.dataset.grip = name;
    const hint = document.createElementNS(SVG, "title");
    hint.textContent = `Drag the ${name}`;
    node.append(hint);
    const grip = { node };
    if (whole) { // who rests above it may turn it soon
      let soon = 0;
      node.addEventListener("pointerenter", () => { soon = setTimeout(() => lab.model.send({ do: "round" }), DWELL); });
      for (const end of ["pointerleave", "pointerdown"]) node.addEventListener(end, () => clearTimeout(soon));
    }
    node.addEventListener("pointerdown", (event) => grab(event, grip));
    node.addEventListener("pointermove", (event) => { if (held === grip) drag(event); });
    for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) node.addEventListener(end, () => drop(grip));
    return grip;
  };
  const where = (event, pane) => {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(pane.over.getScreenCTM().inverse());
    return [point.x, point.y];
  };
  const grab = (event, grip) => {
    if (event.button) return;
    event.preventDefault();
    event.stopPropagation();
    lab.stop();
    lab.hold();
    const at = where(event, grip.pane);
    grip.off = [at[0] - grip.handle.at[0], at[1] - grip.handle.at[1]];
    held = grip;
    grip.node.classList.add("ck-held");
    grip.node.setPointerCapture(event.pointerId);
  };
  const drag = (event) => {
    const at = where(event, held.pane);
    held.to = [at[0] - held.off[0], at[1] - held.off[1]];
    show(held, held.to);
    follow();
  };
  const drop = (grip) => {
    if (held !== grip) return;
    held = null;
    grip.to = null;
    grip.node.classList.remove("ck-held");
    place(lab.told().handles);
    lab.back();
  };

  // From where the handle lay in the last picture, the sliders move by as much as brings it below
  // the finger if the way were straight; the next picture says what is still wanting.
  const follow = () => {
    if (!held?.to) return;
    const { at, slides, turn, whole } = held.handle;
    const then = lab.told().values;
    const [dx, dy] = [held.to[0] - at[0], held.to[1] - at[1]];
    const wanted = turn ? [[turn.key, turned(held.to, at, turn)]] : solved(slides, dx, dy);
    let moved = false;
    for (const [key, by] of wanted) if (Number.isFinite(by)) moved = lab.rows[key].put(whole ? round(then[key] + by) : then[key] + by) || moved;
    if (moved) lab.ask();
  };
  const round = (angle) => angle - 2 * Math.PI * Math.floor(angle / (2 * Math.PI)); // the wearer is turned on and on
  const turned = (to, at, { about, sense }) => {
    const angle = ([x, y]) => Math.atan2(-(y - about[1]), x - about[0]); // anticlockwise on the page
    let by = angle(to) - angle(at);
    if (by > Math.PI) by -= 2 * Math.PI;
    if (by < -Math.PI) by += 2 * Math.PI;
    return sense * by;
  };
  const solved = (slides, dx, dy) => {
    const [[one, [a, b]], other] = slides;
    if (!other) return [[one, (a * dx + b * dy) / (a * a + b * b)]];
    const [two, [c, d]] = other;
    const by = a * d - b * c;
    return [[one, (dx * d - dy * c) / by], [two, (a * dy - b * dx) / by]];
  };
  return { place, get held() { return Boolean(held); } };
};
