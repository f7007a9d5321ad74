// The motion plays from pages that were sent once; between two of them numbers are blended.

const PLAY_SECONDS = 6; // one motion there and back

// a picture taken apart: its elements with their numbers, title and description left out
const takenApart = (text, uid) => {
  const box = new DOMParser().parseFromString(text.replaceAll("LABID", uid), "image/svg+xml").documentElement;
  return [...box.children].slice(2).map((node) => {
    const moving = {};
    const rest = [node.tagName, node.textContent];
    for (const { name, value } of node.attributes) {
      if (["d", "cx", "cy", "x", "y", "points"].includes(name)) moving[name] = value.split(/(-?\d+\.?\d*)/);
      else rest.push(name, value);
    }
    return { node, moving, rest: rest.join("|") };
  });
};

const blended = (one, two, share) => one.map((piece, i) => (i % 2
  ? Math.round(Number(piece) + (Number(two[i]) - Number(piece)) * share) : piece)).join("");

// readings between two pages, with as many decimals: they belong to the picture that is shown with them
const numberIn = (text) => Number(text.replace("\u2212", "-").replaceAll(",", ""));
const told = (one, two, share) => (share < 0.5 ? one : two).map((near, i) => {
  const [from, to] = [one[i], two[i]];
  if (!from || !to || from.label !== to.label || from.unit !== to.unit) return near;
  const [a, b] = [numberIn(from.value), numberIn(to.value)];
  if (!Number.isFinite(a) || !Number.isFinite(b)) return near;
  const digits = near.value.split(".")[1]?.length ?? 0;
  const value = (a + (b - a) * share).toFixed(digits).replace(/^-(0(\.0*)?)$/, "$1").replace("-", "\u2212");
  const ways = from.share == null || to.share == null ? near.share : from.share + (to.share - from.share) * share;
  return { ...near, value, share: ways };
});

// put the picture between two pages into a pane
const between = (pane, one, two, share) => {
  const svg = pane.art.firstChild;
  if (!svg) return;
  const near = share < 0.5 ? one : two;
  const alike = one.length === two.length;
  const live = [...svg.children].slice(2);
  near.forEach((part, i) => {
    let node = live[i];
    if (!node || node.dataset.rest !== part.rest) {
      const fresh = document.importNode(part.node, true);
      fresh.dataset.rest = part.rest;
      if (node) node.replaceWith(fresh); else svg.append(fresh);
      node = fresh;
    }
    const [from, to] = alike ? [one[i], two[i]] : [part, part];
    for (const name of Object.keys(part.moving)) {
      const [a, b] = [from.moving[name], to.moving[name]];
      const text = a && b && a.length === b.length && from.rest === to.rest ? blended(a, b, share) : part.moving[name].join("");
      if (node.getAttribute(name) !== text) node.setAttribute(name, text);
    }
  });
  live.slice(near.length).forEach((node) => node.remove());
};

const filmOf = (lab) => {
  let frames = [];
  let complete = "";
  let wanted = false;
  let playing = null;
  const of = () => JSON.stringify([
    Object.entries(lab.values).filter(([key]) => key !== lab.plan.play).sort(), lab.units, lab.pinned]);
  const play = button("play", "", () => (playing || wanted ? stop() : start()));
  const label = () => {
    play.textContent = playing || wanted ? "■ Stop" : "▶ Play";
    named(play, playing || wanted ? "Stop the motion" : "Play the motion");
  };

  const arrived = (message) => {
    if (message.film !== of()) return;
    if (!message.done) {
      const pictures = message.pictures.map((text) => ({ text, parts: null }));
      frames.push({ at: message.at, pictures, live: message.live });
      return;
    }
    complete = frames.length > 1 && !message.failed ? message.film : ""; // a part of it would stand still at its end
    if (wanted && complete) begin();
    else if (wanted) { stop(); lab.tellTrouble("This motion could not be shown. Move a control, and press Play again."); }
  };
  const start = () => {
    lab.tellTrouble("");
    if (complete === of()) { begin(); return; }
    wanted = true;
    frames = [];
    label();
    lab.model.send({ do: "film", of: of() });
  };
  const begin = () => {
    wanted = false;
    playing = { from: performance.now(), painted: 0 };
    label();
    lab.judgeLater();
    requestAnimationFrame(step);
  };
  const stop = () => {
    const was = playing;
    wanted = false;
    playing = null;
    label();
    if (!was) return;
    for (const pane of lab.panes) pane.put(pane.text); // back to the learner's own setting
    lab.back();
  };
  const step = () => { // from where it stands up, down, and back to where it stood
    if (!playing || !play.isConnected) return;
    const { factor, low, high } = lab.rows[lab.plan.play].control.scales[lab.units];
    const [least, most, own] = [low * factor, high * factor, lab.values[lab.plan.play]];
    const share = (performance.now() - playing.from) / 1000 / PLAY_SECONDS;
    if (share >= 1) { stop(); return; }
    const way = share * 2 * (most - least);
    const up = most - own;
    const value = way < up ? own + way
      : way < up + most - least ? most - (way - up) : least + (way - up - (most - least));
    showAt(value);
    lab.rows[lab.plan.play].lean(value);
    playing.painted += 1;
    lab.root.dataset.painted = playing.painted;
    requestAnimationFrame(step);
  };
  const showAt = (value) => {
    const last = frames.length - 1;
    let i = frames.findIndex((frame) => frame.at > value + 1e-9) - 1;
    if (i < 0) i = value <= frames[0].at ? 0 : last - 1;
    const [one, two] = [frames[i], frames[i + 1]];
    const share = Math.min(Math.max((value - one.at) / (two.at - one.at), 0), 1);
    lab.panes.forEach((pane, p) => {
      const texts = [one.pictures[p], two.pictures[p]];
      if (!texts[0].text || !texts[1].text || pane.node.hidden) return;
      for (const half of texts) half.parts ??= takenApart(half.text, lab.uid);
      between(pane, texts[0].parts, texts[1].parts, share);
    });
    const near = share < 0.5 ? one : two;
    lab.passing({ ...near.live, readings: told(one.live.readings, two.live.readings, share) });
  };
  label();
  return { play, stop, arrived, get on() { return Boolean(playing); } };
};
