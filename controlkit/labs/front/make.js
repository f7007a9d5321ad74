// The front end of every lab: native controls, pictures, words. Nothing is computed here.
// Python sends `plan` (what controls, pictures, challenges and predictions there are) once; after
// each move `told` (the setting, and what is said of it), and `words` and each picture only when
// they changed; `noted` is what the learner keeps. The page sends `asked` (where the controls
// stand) and wishes that change no setting (note, predict, film). The files of this folder are
// joined in the order that frame.py names.

const SVG = "http://www.w3.org/2000/svg";

const make = (tag, attributes = {}, ...children) => {
  const node = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === true) node.setAttribute(key, "");
    else if (value !== false && value != null) node.setAttribute(key, value);
  }
  node.append(...children);
  return node;
};

const button = (name, text, act, more = {}) => {
  const node = make("button", { type: "button", "data-do": name, ...more }, text);
  node.addEventListener("click", act);
  return node;
};

const named = (node, name) => { node.setAttribute("aria-label", name); node.title = name; };
const say = (node, text) => { if (node.textContent !== text) node.textContent = text; };
