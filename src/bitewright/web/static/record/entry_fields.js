// The fields of an exposure's form: what is in them, what differs from before, and how faults are written.

// Faults as the log takes them; a size that was measured stays with its fault.
export function faultsText(chosen, sized = "") {
  const before = new Map(sized.split("|").filter(Boolean).map((part) => [part.split(":")[0], part]));
  const kept = [...before.keys()].filter((name) => chosen.includes(name));
  return [...kept, ...chosen.filter((name) => !before.has(name))].map((name) => before.get(name) ?? name).join("|");
}

// Only what is otherwise than before; an empty text takes a field away.
export function changes(before, now) {
  return Object.fromEntries(Object.entries(now).filter(([name, text]) => text !== (before[name] ?? "")));
}

// A key of letters and digits: the same entry sent again adds nothing.
export function newKey(fill = (bytes) => crypto.getRandomValues(bytes)) {
  return `page-${[...fill(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("")}`;
}
