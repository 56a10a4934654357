// What the marks tell, asked of the server after each change: figures first, then why, then the predicted film.
import { fetched, json } from "../fetched.js";
import { onRated, rated } from "../rated.js";
import { here, isOnStage, laid, marksOf } from "./laid.js";
import * as answer from "./answer.js";
import { offerLog } from "./deciding.js";
import * as outcome from "./outcome.js";
import { by, tell, untell } from "./page.js";
import { isWaiting, left, leftWords } from "./proposals.js";
import * as viewer from "./viewer.js";
import { nextName } from "./wanted.js";

let asking = null;
let readying = null; // what goes on while the first marks are set

export function stop() {
  readying?.abort();
  end();
}

function end() {
  asking?.abort();
  outcome.endDrawing();
  answer.endDrawing();
}

export function cancel() {
  stop();
  by("working").hidden = true;
  tell("The explanation was cancelled; change a mark to ask again.");
}

// While something that was proposed waits for a person, that alone is said, at once and with what is left here.
export function waitForPerson() {
  const { film } = laid;
  if (film.marks.view && isWaiting(film)) {
    outcome.clear();
    by("over").hidden = true;
    viewer.blend(0, false);
    answer.waitForLooking(leftWords(film), !left(film).length);
    return true;
  }
  if (answer.isWaitingForLooking()) answer.clear();
  return false;
}

// What was measured may ask for the marks to be checked first: then no rating stands beside it.
function checkFirst() {
  if (answer.isMarksFirst()) outcome.unrate();
  offerLog();
}

let said = ""; // what could not be told, which holds until the next time
function tellWhy(text, fault = false) {
  said = text;
  tell(text, fault);
}

export async function measure() {
  end();
  untell(said);
  by("working").hidden = true;
  const { film } = laid;
  if (!film.marks.view) return;
  const rating = new URLSearchParams(rated()).toString();
  const marked = Object.values(marksOf(film)).filter((mark) => mark.x_px !== undefined).length;
  if (waitForPerson()) return;
  answer.wait(marked);
  if (!Object.keys(marksOf(film)).length) {
    readying = new AbortController();
    fetched(here(`/reading?${rating}`), { signal: readying.signal }).catch(() => {}); // what every film of a view shares is made meanwhile
    return;
  }
  asking = new AbortController();
  const { signal } = asking;
  try {
    const measured = await json(here(`/assessment?${rating}`), { signal });
    if (measured.cannot) {
      outcome.clear();
      answer.clear();
      tellWhy(measured.cannot);
      return;
    }
    outcome.show(measured);
    by("working").hidden = false;
    const read = await json(here(`/reading?${rating}`), { signal });
    if (!isOnStage(film.id)) return;
    if (!read.cannot) answer.showReading(read.answer);
    checkFirst();
    await explain(film.id, `${rating}${by("together").checked ? "&together=true" : ""}`, signal);
  } catch (error) {
    if (error.name === "AbortError") return;
    by("working").hidden = true;
    outcome.forgetExplanation();
    tellWhy(error.message, true);
  }
}

async function explain(id, how, signal) {
  const answered = await fetched(here(`/explanation?${how}`), { signal });
  const told = await answered.json();
  if (!isOnStage(id)) return;
  by("working").hidden = true;
  if (told.cannot) {
    outcome.forgetExplanation();
    tellWhy(told.cannot);
    return;
  }
  const hasDrawing = answered.headers.get("x-has-drawing") === "yes";
  const drawing = hasDrawing ? here(`/drawing?version=${answered.headers.get("x-marks-version")}&${how}`) : null;
  if (told.explanation) answer.showWhole(told.answer);
  outcome.explain(told, drawing);
  checkFirst();
  answer.draw(answer.isSettled() || nextName() === null ? drawing : null);
  if (told.explanation) await layOver(how, told.pixel_mm, signal);
}

async function layOver(how, pixelMm, signal) {
  const predicted = await fetched(here(`/explained-film?${how}`), { signal });
  if (predicted.status === 204) return;
  const head = (name) => Number(predicted.headers.get(name));
  viewer.layOver(new Uint8Array(await predicted.arrayBuffer()), head("x-columns"), head("x-rows"), [head("x-width-mm"), head("x-height-mm")], pixelMm);
  by("over").hidden = false;
}

by("together").addEventListener("change", measure);
onRated(() => laid.film && measure());
