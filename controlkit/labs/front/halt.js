// Brings the sentence into view at which a page stopped: running all cells leaves its reader at the end.

const PATIENCE = 3000; // milliseconds within which the sentence must have come
const LAST = 300; // milliseconds in which the page makes its own last move

export default {
  initialize({ model }) {
    const since = performance.now();
    window.controlkitHalted = since; // a lab above that is drawn late does not take the reader away again
    const beginning = model.get("sentence").slice(0, 60);
    const bring = (said) => {
      said?.scrollIntoView({ block: "center" });
      model.send({ done: true });
    };
    const look = () => {
      const shown = [...document.querySelectorAll(".jp-OutputArea-output")].filter((node) => node.offsetParent);
      const said = shown.reverse().find((node) => node.textContent.includes(beginning));
      if (said || performance.now() - since > PATIENCE) setTimeout(bring, LAST, said);
      else setTimeout(look, 50);
    };
    look();
  },
};
