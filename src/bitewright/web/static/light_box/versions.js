// Two versions of a film's marks: which differ, and one made of both.
const SAME_PX = 0.01;

const given = (marks) => marks.marks ?? {};

function alike(a, b) {
  if (a === undefined || b === undefined) return a === b;
  if ((a.status ?? "seen") !== (b.status ?? "seen") || a.state !== b.state) return false;
  return a.x_px === undefined || (Math.abs(a.x_px - b.x_px) <= SAME_PX && Math.abs(a.y_px - b.y_px) <= SAME_PX);
}

const FIELDS = ["view", "receptor", "holder", "mounting", "pixel_mm", "rim_flush", "numbers"];

// Answers from the chairside, each as a field of its own.
const answersOf = (marks) => Object.fromEntries(Object.entries(marks.answers ?? {}).map(([question, answer]) => [`answer ${question}`, answer]));

function answersApart(here, there) {
  const [ours, theirs] = [answersOf(here), answersOf(there)];
  const names = [...new Set([...Object.keys(ours), ...Object.keys(theirs)])];
  return names.filter((name) => ours[name] !== theirs[name]).map((name) => ({ name, here: ours[name], there: theirs[name] }));
}

// Everything in which two versions differ: { name, here, there }, marks by name, then fields by name.
export function differences(here, there) {
  const names = [...new Set([...Object.keys(given(here)), ...Object.keys(given(there))])];
  return [
    ...FIELDS.filter((name) => (here[name] ?? "") !== (there[name] ?? "")).map((name) => ({ name, here: here[name], there: there[name] })),
    ...answersApart(here, there),
    ...names.filter((name) => !alike(given(here)[name], given(there)[name])).map((name) => ({ name, here: given(here)[name], there: given(there)[name] })),
  ];
}

// Every mark of either; where both have one, the one from here.
export function together(here, there) {
  const answers = { ...there.answers, ...here.answers };
  return { ...there, ...here, ...(Object.keys(answers).length ? { answers } : {}), marks: { ...given(there), ...given(here) } };
}
