// A person's decision on the film on the stage: the form shows that film's own, and keeps what is said in it.
import { json } from "../fetched.js";
import { rated } from "../rated.js";
import * as answer from "./answer.js";
import { refresh } from "./film_sheet.js";
import { here, laid, renew } from "./laid.js";
import { by, sent, tell } from "./page.js";
import { isWaiting } from "./proposals.js";

const form = by("decision");
let filled = null; // which film's decision the form was filled with; what is being typed into it stays

export function show() {
  const { id, decision } = laid.film;
  const now = JSON.stringify([id, decision]);
  if (now !== filled) fill(decision);
  filled = now;
  const decided = decidedWords(laid.film);
  by("decided").textContent = decided;
  by("printed-decision").textContent = decided ? `Decision: ${decided}.` : "No decision yet.";
  offerLog();
}

function fill({ decision = "undecided", by: code = "", note = "" }) {
  for (const radio of form.elements.decision) radio.checked = radio.value === decision;
  form.elements.by.value = code;
  form.elements.note.value = note;
}

function decidedWords({ decision, titles }) {
  if (!decision.decision) return "";
  const rating = titles.not_rated ? `not rated: ${titles.not_rated}` : titles.question && `rated for ${titles.question} by ${titles.scheme}`;
  return [decision.decision, [decision.when.slice(0, 10), decision.by].filter(Boolean).join(" "), rating].filter(Boolean).join(", ");
}

// A film is logged once its marks are looked at and tell something.
export function offerLog() {
  by("decide-row").hidden = !laid.film.marks.view || isWaiting();
  by("log-film").hidden = !laid.film.marks.view || isWaiting() || answer.isMarksFirst();
}

// To the decision from wherever the film is looked at: what is decided so far is in focus, and the log is told after it.
export function bringForward() {
  (form.querySelector("input:checked") ?? form.querySelector("input")).focus();
  form.scrollIntoView({ block: "nearest" });
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const given = { ...Object.fromEntries(new FormData(form)), ...rated(), marks_first: answer.isMarksFirst() };
    const { id, label, decision, titles } = await json(here("/decision"), sent("PUT", given));
    renew(id, { decision, titles });
    refresh();
    tell(`The decision on ${label} is kept.`);
  } catch (error) {
    tell(error.message, true);
  }
});
