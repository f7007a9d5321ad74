// What was found of one thing on the bench is never shown as that of another: each has a record of its own.

const recordsOf = (lab) => {
  if (!lab.plan.anew) return { moved: (_, after) => after, told: (_, after) => after, forget: () => { } };
  const { of, clears } = lab.plan.anew;
  const kept = new Map();
  const lies = (values) => JSON.stringify(of.filter(([, other, at]) => !other || values[other] === at).map(([key]) => values[key]));
  const record = (values) => Object.fromEntries(Object.keys(clears).map((key) => [key, values[key]]));
  const blank = (values) => Object.keys(clears).every((key) => values[key] === clears[key]);
  // the setting that is meant where controls went from one to the other: whoever comes back finds her record
  const moved = (before, after, cleared) => {
    const [had, now] = [lies(before), lies(after)];
    if (had === now) return after;
    if (blank(before)) kept.delete(had);
    else kept.set(had, record(before));
    if (cleared && (!blank(after) || !kept.has(now))) return after;
    return { ...after, ...(kept.get(now) ?? clears) };
  };
  return {
    moved: (before, after) => moved(before, after, false),
    told: (before, after) => moved(before, after, true), // cleared by the kernel, or found there on purpose
    forget: () => kept.clear(),
  };
};
