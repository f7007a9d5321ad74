// A tone that rises with what is reached, and a click where it is enough; off unless switched on.

const LOW = 220; // hertz
const OCTAVES = 2;

const soundOf = (lab) => {
  let speaker = null;
  let last = null;
  const box = make("input", { type: "checkbox", id: `${lab.uid}-sound`, "data-key": "sound" });
  const node = make("div", { class: "ck-row ck-tick", hidden: lab.told().tone == null }, box,
    make("label", { for: `${lab.uid}-sound` }, "Sound"));
  box.addEventListener("change", () => {
    if (box.checked) speaker ??= new AudioContext();
    last = null;
  });
  const play = (pitch, seconds, shape) => {
    const [tone, loud] = [speaker.createOscillator(), speaker.createGain()];
    tone.type = shape;
    tone.frequency.value = pitch;
    loud.gain.setValueAtTime(0.08, speaker.currentTime);
    loud.gain.exponentialRampToValueAtTime(0.001, speaker.currentTime + seconds);
    tone.connect(loud).connect(speaker.destination);
    tone.start();
    tone.stop(speaker.currentTime + seconds);
  };
  const sound = (value) => {
    if (!box.checked || value == null || value === last) return;
    play(LOW * 2 ** (OCTAVES * Math.min(Math.max(value, 0), 1)), 0.15, "sine");
    if (last !== null && last < 1 && value >= 1) play(1800, 0.03, "square");
    last = value;
  };
  return { node, sound, close: () => speaker?.close() };
};
