// Two versions of a film's marks: which differ, and one made of both.
const SAME_PX = 0.01;

const given = (marks) => marks.marks ?? {};

function alike(a, b) {
  if (a === undefined || b === undefined) return a === b;
  if ((a.status ?? "seen") !== (b.status ?? "seen") || a.state !== b.state) return false;
  return a.x_px === undefined || (Math.abs(a.x_px - b.x_px) <= SAME_PX && Math.abs(a.y_px - b.y_px) <= SAME_PX);
}

const FIELDS = ["view", "receptor", "holder", "mounting", "pixel_mm", "rim_flush"];

// Everything in which two versions differ: { name, here, there }, marks by name, then fields by name.
export function differences(here, there) {
  const names = [...new Set([...Object.keys(given(here)), ...Object.keys(given(there))])];
  return [
    ...FIELDS.filter((name) => (here[name] ?? "") !== (there[name] ?? "")).map((name) => ({ name, here: here[name], there: there[name] })),
    ...names.filter((name) => !alike(given(here)[name], given(there)[name])).map((name) => ({ name, here: given(here)[name], there: given(there)[name] })),
  ];
}

// Every mark of either; where both have one, the one from here.
export const together = (here, there) => ({ ...there, ...here, marks: { ...given(there), ...given(here) } });
