// The film that is chosen is laid on the stage; another one beside it, if wanted.
import { fetched, json } from "../fetched.js";
import { Latest } from "../latest.js";
import * as aiming from "./aiming.js";
import * as answer from "./answer.js";
import * as beside from "./beside.js";
import * as borders from "./borders.js";
import * as clearEdge from "./clear_edge.js";
import * as drafts from "./drafts.js";
import { refresh } from "./film_sheet.js";
import { changes, isAsking, isInConflict, saves, showConflict } from "./keeping.js";
import { find, isOnStage, laid, mmOf } from "./laid.js";
import * as looking from "./looking.js";
import { isAway } from "./mark_saves.js";
import { measure } from "./measuring.js";
import * as outcome from "./outcome.js";
import { by, tell } from "./page.js";
import * as placing from "./placing.js";
import * as proposing from "./proposing.js";
import * as viewer from "./viewer.js";
import { forgetLater } from "./wanted.js";

const choices = new Latest();
let droppedFor = ""; // what is said of a proposal that was given up for the film on its way

// What was marked while the film was on its way once more stays; of two on their way the last asked for is shown.
let choosing = Promise.resolve();
export function choose(id) {
  choosing = Promise.all([choosing, layOnStage(id)]);
  return choosing;
}

// Until no film is on its way to the stage any more.
export const settled = () => choosing;

async function layOnStage(id) {
  placing.moving.endAll();
  const dropped = isOnStage(id) ? null : proposing.stop();
  if (dropped !== null) droppedFor = `Nothing is proposed on ${dropped}, for another film was chosen meanwhile: open it and ask again.`;
  const before = changes();
  const isLast = choices.begin();
  try {
    await saves.settled(id);
    const [made, picture] = await Promise.all([newest(id), pixelsOf(id)]);
    if (!isLast() || (isOnStage(id) && changes() !== before)) return;
    laid.film = made;
    drafts.remember("film", id);
    viewer.show(picture.pixels, picture.columns, picture.rows, picture.bits);
    if (beside.isShown()) showBeside("");
    aiming.begin();
    clearEdge.begin();
    forgetLater();
    placing.forgetDone();
    placing.inFocus(null);
    looking.at(null);
    borders.forget();
    outcome.clear();
    answer.clear();
    tell(droppedFor);
    droppedFor = "";
    by("over").hidden = true;
    viewer.blend(0, false);
    by("empty").hidden = true;
    refresh();
    showConflict();
    measure();
  } catch (error) {
    if (isLast()) tell(error.message, true);
  }
}

// A film as the server has it; with what this page alone has, while that is on its way, the server is away or asked, or a
// person has to say which is to stay.
async function newest(id) {
  const known = find(id);
  if (known && isInConflict(id)) return known;
  const isOwn = () => saves.has(id) || isAsking(id) || isInConflict(id);
  const wasOwn = isOwn();
  try {
    const made = await json(`/light-box/films/${id}`);
    const here = find(id);
    return here && (wasOwn || isOwn()) ? { ...made, marks: here.marks, marks_version: here.marks_version } : made;
  } catch (error) {
    if (known && isAway(error)) return find(id) ?? known;
    throw error;
  }
}

// Pixels never change: the last films' are kept, and can be looked at while the server is away.
const MOST_KEPT = 4;
const pictures = new Map();
async function pixelsOf(id) {
  const kept = pictures.get(id);
  if (kept) return kept;
  const answer = await fetched(`/light-box/films/${id}/pixels`);
  const head = (name) => Number(answer.headers.get(name));
  const made = { pixels: new Uint16Array(await answer.arrayBuffer()), columns: head("x-columns"), rows: head("x-rows"), bits: head("x-bits") };
  pictures.set(id, made);
  if (pictures.size > MOST_KEPT) pictures.delete(pictures.keys().next().value);
  return made;
}

async function showBeside(id) {
  by("beside").value = id;
  try {
    const other = find(Number(id)) ?? null;
    beside.show(other, other && (await pixelsOf(other.id)), mmOf(laid.film));
  } catch (error) {
    tell(error.message, true);
  }
  viewer.fit();
}
by("beside").addEventListener("change", () => showBeside(by("beside").value));
viewer.onDevelop(() => beside.develop());
