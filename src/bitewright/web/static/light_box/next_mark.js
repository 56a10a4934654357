// Which mark is wanted next: in words, on a drawing of the teeth, and where the others say it should lie.
import { json } from "../fetched.js";
import { expected } from "./expected.js";
import { kindOf } from "./marks.js";

const SPACE = "http://www.w3.org/2000/svg";
const drawing = document.getElementById("teeth");
const kept = new Map();

// The usual places of a view's marks; null until they are known. `known` is told when they are.
export function usual(view, known) {
  if (!view) return null;
  if (!kept.has(view)) {
    kept.set(view, null);
    json(`/light-box/usual-marks/${encodeURIComponent(view)}`)
      .then((made) => {
        kept.set(view, made);
        known();
      })
      .catch(() => kept.delete(view)); // asked for again with the next mark
  }
  return kept.get(view);
}

// Where a film's wanted mark should lie, in its pixels: { at, reach, isOutside, mm }, or null while nothing tells.
export function placeOn(film, name, places) {
  if (!places?.places_mm[name]) return null;
  const mm = film.marks.pixel_mm ?? film.pixel_mm ?? places.width_mm / film.columns;
  const way = film.marks.mounting === "mirrored" ? -1 : 1;
  const middle = [film.columns / 2, film.rows / 2];
  const seen = {};
  for (const [each, mark] of Object.entries(film.marks.marks ?? {})) {
    if (mark.x_px !== undefined) seen[each] = [way * (mark.x_px - middle[0]) * mm, (mark.y_px - middle[1]) * mm];
  }
  const told = expected(name, places.places_mm, seen);
  const at = [middle[0] + (way * told.at[0]) / mm, middle[1] + told.at[1] / mm];
  const reach = told.sd / mm;
  const isOutside = at[0] < -reach || at[1] < -reach || at[0] > film.columns + reach || at[1] > film.rows + reach;
  return { at, reach, isOutside, mm };
}

const make = (name, attributes, parent) => {
  const element = document.createElementNS(SPACE, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  parent.append(element);
  return element;
};

// Crowns of the view's teeth as they usually lie, the wanted mark on them.
export function drawTeeth(places, name, isMirrored) {
  drawing.replaceChildren();
  const isKnown = Boolean(places?.places_mm[name]);
  drawing.toggleAttribute("hidden", !isKnown); // an SVG element has no such property
  if (!isKnown) return;
  const at = places.places_mm;
  const all = Object.values(at);
  const [xs, ys] = [0, 1].map((axis) => all.map((p) => p[axis]));
  const edges = [Math.min(...xs) - 2, Math.min(...ys) - 3, Math.max(...xs) + 2, Math.max(...ys) + 3];
  drawing.setAttribute("viewBox", `${isMirrored ? -edges[2] : edges[0]} ${edges[1]} ${edges[2] - edges[0]} ${edges[3] - edges[1]}`);
  const turned = make("g", isMirrored ? { transform: "scale(-1 1)" } : {}, drawing);
  for (const tooth of new Set(Object.keys(at).map((each) => each.slice(0, 2)))) crown(tooth, at, turned, name.startsWith(`${tooth}.`), isMirrored);
  const [x, y] = at[name];
  make("circle", { cx: x, cy: y, r: 0.9, class: `wanted ${kindOf(name)}` }, turned);
  make("circle", { cx: x, cy: y, r: 2, class: `wanted ring ${kindOf(name)}` }, turned);
}

function crown(tooth, at, parent, isWanted, isMirrored) {
  const [mesial, distal] = ["mesial", "distal"].map((side) => at[`${tooth}.${side}.cej`]);
  if (!mesial || !distal) return;
  const tips = Object.keys(at).filter((each) => each.startsWith(`${tooth}.`) && each.endsWith(".cusp") && !each.includes("lingual")).map((each) => at[each]);
  const from = [mesial, distal].sort((a, b) => a[0] - b[0]);
  tips.sort((a, b) => a[0] - b[0]);
  if (!tips.length) return;
  const biting = tips.reduce((sum, tip) => sum + tip[1], 0) / tips.length;
  const neck = (mesial[1] + distal[1]) / 2;
  const way = Math.sign(biting - neck);
  const tall = Math.abs(biting - neck), bulge = 0.12 * (from[1][0] - from[0][0]);
  const [left, right] = [from[0][0] - bulge, from[1][0] + bulge];
  const line = tips.flatMap((tip, i) => (i ? [`L${(tips[i - 1][0] + tip[0]) / 2} ${biting - way * 0.16 * tall}`, `L${tip[0]} ${tip[1]}`] : [`L${tip[0]} ${tip[1]}`]));
  const height = neck + way * 0.62 * tall;
  make("path", { class: isWanted ? "crown here" : "crown", d: `M${from[0][0]} ${from[0][1]}Q${left} ${neck + way * 0.35 * tall} ${left} ${height}${line.join("")}L${right} ${height}Q${right} ${neck + way * 0.35 * tall} ${from[1][0]} ${from[1][1]}Q${(left + right) / 2} ${neck + way * 0.2 * tall} ${from[0][0]} ${from[0][1]}Z` }, parent);
  const root = -way * 4;
  make("path", { class: "root", d: `M${from[0][0]} ${from[0][1]}l.6 ${root}M${from[1][0]} ${from[1][1]}l-.6 ${root}` }, parent);
  const label = make("text", { x: ((isMirrored ? -1 : 1) * (left + right)) / 2, y: neck + way * 0.55 * tall + 0.9, ...(isMirrored ? { transform: "scale(-1 1)" } : {}) }, parent);
  label.textContent = tooth;
}
