// Readings that the learner noted: a table below the lab, kept beside the page from day to day.

const notesOf = (lab) => {
  const count = make("summary");
  const table = make("div", { class: "ck-table" });
  const node = make("details", { class: "ck-noted" }, count, table);
  const add = button("note", "Note", () => {
    lab.model.send({ do: "note" });
    lab.speak(`Noted as row ${lab.model.get("noted").table.rows.length + 1}.`);
  });
  named(add, "Note this reading");
  const strike = (row) => {
    const node = button("strike", "×", () => lab.model.send({ do: "strike", row }));
    named(node, `Take row ${row + 1} away`);
    return node;
  };
  const show = () => {
    const { head, rows } = lab.model.get("noted").table;
    say(count, `Noted readings (${rows.length})`);
    if (!rows.length) {
      table.replaceChildren(make("p", {}, "None yet. Press Note, and the numbers on show are kept here, also for tomorrow."));
      return;
    }
    const cells = (tag, texts) => texts.map((text) => make(tag, tag === "th" ? { scope: "col" } : {}, text));
    table.replaceChildren(make("table", {},
      make("thead", {}, make("tr", {}, ...cells("th", ["Row", ...head]), make("td"))),
      make("tbody", {}, ...rows.map((row, i) => make("tr", {}, make("th", { scope: "row" }, String(i + 1)),
        ...cells("td", row), make("td", {}, strike(i)))))));
  };
  return { node, add, show };
};
