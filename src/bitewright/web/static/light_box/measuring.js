// What the marks tell, asked of the server after each change: figures first, then why, then the predicted film.
import { fetched, json } from "../fetched.js";
import { onRated, rated } from "../rated.js";
import { here, isOnStage, laid, marksOf } from "./laid.js";
import * as answer from "./answer.js";
import * as outcome from "./outcome.js";
import { by, tell } from "./page.js";
import { left, leftWords } from "./proposals.js";
import * as viewer from "./viewer.js";
import { nextName } from "./wanted.js";

let asking = null;

export function stop() {
  asking?.abort();
  outcome.endDrawing();
  answer.endDrawing();
}

export function cancel() {
  stop();
  by("working").hidden = true;
  tell("The explanation was cancelled; change a mark to ask again.");
}

export async function measure() {
  stop();
  by("working").hidden = true;
  const { film } = laid;
  if (!film.marks.view) return;
  const rating = new URLSearchParams(rated()).toString();
  const marked = Object.values(marksOf(film)).filter((mark) => mark.x_px !== undefined).length;
  if (left(film).length) {
    outcome.clear();
    by("over").hidden = true;
    viewer.blend(0, false);
    answer.waitForLooking(leftWords(film));
    return;
  }
  answer.wait(marked);
  if (!Object.keys(marksOf(film)).length) {
    fetched(here(`/reading?${rating}`)).catch(() => {}); // what every film of a view shares is made meanwhile
    return;
  }
  asking = new AbortController();
  const { signal } = asking;
  try {
    const measured = await json(here(`/assessment?${rating}`), { signal });
    if (measured.cannot) {
      outcome.clear();
      answer.clear();
      tell(measured.cannot);
      return;
    }
    outcome.show(measured);
    by("working").hidden = false;
    const read = await json(here(`/reading?${rating}`), { signal });
    if (!isOnStage(film.id)) return;
    if (!read.cannot) answer.showReading(read.answer);
    await explain(film.id, `${rating}${by("together").checked ? "&together=true" : ""}`, signal);
  } catch (error) {
    if (error.name === "AbortError") return;
    by("working").hidden = true;
    outcome.forgetExplanation();
    tell(error.message, true);
  }
}

async function explain(id, how, signal) {
  const told = await fetched(here(`/explanation?${how}`), { signal });
  const said = await told.json();
  if (!isOnStage(id)) return;
  by("working").hidden = true;
  if (said.cannot) {
    outcome.forgetExplanation();
    tell(said.cannot);
    return;
  }
  const hasDrawing = told.headers.get("x-has-drawing") === "yes";
  const drawing = hasDrawing ? here(`/drawing?version=${told.headers.get("x-marks-version")}&${how}`) : null;
  if (said.explanation) answer.showWhole(said.answer);
  outcome.explain(said, drawing);
  answer.draw(answer.isSettled() || nextName() === null ? drawing : null);
  if (said.explanation) await layOver(how, said.pixel_mm, signal);
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
