// The settings: native inputs are the truth; drawings only write into them.
const rows = [...document.querySelectorAll(".setting[data-name]")];
const nearest = document.getElementById("nearest");
const parts = new Map(
  rows.map((row) => [row.dataset.name, { row, number: row.querySelector("input[type=number]"), slider: row.querySelector("input[type=range]") }]),
);
let changed = () => {};

// Square to the receptor, as near to the teeth as it fits.
export const SQUARE = Object.fromEntries([...parts.keys()].map((name) => [name, name === "lingual_mm" ? null : 0]));

export function onChange(act) {
  changed = act;
}

export function settings() {
  const values = {};
  for (const [name, { number, slider }] of parts) values[name] = Number(number.value === "" ? slider.value : number.value);
  if (nearest.checked) values.lingual_mm = null;
  return values;
}

export function value(name) {
  return Number(parts.get(name).number.value) || 0;
}

// Set several at once; a space to the teeth set by hand is no longer "as near as it fits".
export function set(values, { quiet = false } = {}) {
  for (const [name, given] of Object.entries(values)) {
    if (name === "lingual_mm") nearest.checked = given === null;
    if (given === null || !parts.has(name)) continue;
    show(name, given);
  }
  if (!quiet) changed();
}

// What the server found for the space, shown without asking again.
export function showSpace(mm) {
  if (nearest.checked) show("lingual_mm", mm);
}

export function showRoom(texts) {
  for (const [name, { row }] of parts) {
    const place = row.querySelector(".room");
    place.textContent = texts?.[name] ?? "";
    place.hidden = !texts?.[name];
  }
}

function show(name, given) {
  const { number, slider } = parts.get(name);
  const step = Number(number.step);
  const rounded = Math.round(given / step) * step;
  number.value = String(Number(rounded.toFixed(3)));
  slider.value = number.value;
}

for (const [name, { number, slider }] of parts) {
  slider.addEventListener("input", () => {
    number.value = slider.value;
    if (name === "lingual_mm") nearest.checked = false;
    changed();
  });
  number.addEventListener("input", () => {
    if (number.value === "") return;
    slider.value = number.value;
    if (name === "lingual_mm") nearest.checked = false;
    changed();
  });
}
nearest.addEventListener("change", () => changed());
// A box that was only emptied says again what counts.
for (const { number, slider } of parts.values()) {
  number.addEventListener("blur", () => {
    if (number.value === "") number.value = slider.value;
  });
}

export function fromAddress() {
  const query = new URLSearchParams(location.search);
  const given = {};
  for (const name of parts.keys()) {
    if (query.has(name) && query.get(name) !== "" && Number.isFinite(Number(query.get(name)))) given[name] = Number(query.get(name));
  }
  return given;
}

export function toAddress(more = []) {
  const query = new URLSearchParams(new FormData(document.getElementById("chooser")));
  for (const [name, given] of Object.entries(settings())) if (given) query.set(name, given);
  for (const [name, given] of more) query.append(name, given);
  return `${location.pathname}?${query}`;
}
