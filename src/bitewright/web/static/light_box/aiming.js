// Where the wanted mark should lie: lit, looked at through the glass, and divided in nine fields for the keyboard.
import * as glass from "./glass.js";
import { laid, marksOf } from "./laid.js";
import * as marks from "./marks.js";
import { drawTeeth, placeOn, usual } from "./next_mark.js";
import { NineFields } from "./nine_fields.js";
import { by } from "./page.js";
import * as viewer from "./viewer.js";

const FIELDS_SD = 2; // the nine fields reach so many standard deviations to each side
const FINEST_MM = 0.15;
const COARSE_PX_PER_MM = 60; // below it a contact is looked at through the glass
const NEAR_MM = 3;
const GLASS_ZOOM = 3;
const GLASS_PX = 180;
let aim = null; // the wanted mark: its name, the place where it should lie, the nine fields about the cross
let byKeys = false;

export const isAimed = () => aim !== null;
export const isOutside = () => Boolean(aim?.place?.isOutside);

// Another film lies on the stage.
export function begin() {
  marks.startCross([laid.film.columns / 2, laid.film.rows / 2]);
  marks.hideCross();
  glass.close();
  aim = null;
  byKeys = false;
}

// `again()`: where such marks usually lie has become known.
export function aimAt(name, again) {
  const { film } = laid;
  const known = name && usual(film.marks.view, again);
  const place = name && placeOn(film, name, known);
  marks.light(place && !place.isOutside ? place : null);
  drawTeeth(known, name, film.marks.mounting === "mirrored");
  if (!name) {
    aim = null;
    glass.close();
    return;
  }
  if (aim?.name === name && `${aim.place?.at}` === `${place?.at}`) return;
  aim = { name, place };
  if (place) marks.startCross(place.at);
  newFields();
  if (byKeys) lookAtCross();
}

// A mark on the drawing of the teeth; `again()` as above.
export const showTeeth = (name, again) => drawTeeth(usual(laid.film.marks.view, again), name, laid.film.marks.mounting === "mirrored");

// About the cross; at first as wide as the place is unsure.
function newFields() {
  const { columns } = laid.film;
  const mm = aim.place?.mm ?? 20 / columns;
  aim.fields = new NineFields([marks.at.x, marks.at.y], Math.max(FINEST_MM / mm, FIELDS_SD * (aim.place?.reach ?? columns / 8)), FINEST_MM / mm);
  tellCross();
}

function tellCross() {
  Object.assign(by("stage").dataset, { x: marks.at.x, y: marks.at.y, half: aim.fields.half });
}

export function takeField(digit) {
  byKeys = true;
  marks.startCross(aim.fields.take(digit));
  tellCross();
  lookAtCross();
}

// The arrow keys moved the cross.
export function crossMoved() {
  byKeys = true;
  if (!aim) return;
  newFields();
  lookAtCross();
}

const seenPlaces = () => Object.values(marksOf(laid.film)).filter((m) => m.x_px !== undefined).map((m) => [m.x_px, m.y_px]);

function lookAtCross() {
  marks.showCross();
  const half = aim.fields.half;
  glass.open({ at: [marks.at.x, marks.at.y], across: Math.max(24, (2 * half) / 0.8), marks: seenPlaces(), grid: half });
}

// The pointer is over the film; null: it left.
export function hovered(event) {
  if (!event) {
    if (!byKeys) glass.close();
    return;
  }
  byKeys = false;
  const at = viewer.filmPlace(event);
  if (by("magnify").getAttribute("aria-pressed") !== "true" && !nearsContact(at, event)) glass.close();
  else glass.open({ at, across: GLASS_PX / (viewer.view.scale * GLASS_ZOOM), marks: seenPlaces() });
}

function nearsContact(at, event) {
  if (!aim) return false;
  if (event.pointerType === "touch") return true; // the finger hides what it points at
  if (!aim.place || !marks.isContact(aim.name) || viewer.view.scale / aim.place.mm > COARSE_PX_PER_MM) return false;
  return Math.hypot(at[0] - aim.place.at[0], at[1] - aim.place.at[1]) < Math.max(NEAR_MM / aim.place.mm, FIELDS_SD * aim.place.reach);
}
