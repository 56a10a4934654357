// Which marks of a film are proposed and wait for a person, and which of them are doubted.
import { laid, marksOf } from "./laid.js";

const doubts = document.getElementById("doubts");

// Names of marks that nobody has looked at yet.
export const left = (film = laid.film) =>
  Object.entries(marksOf(film))
    .filter(([, mark]) => mark.state === "proposed")
    .map(([name]) => name);

export const doubted = (film = laid.film) => left(film).filter((name) => marksOf(film)[name].doubt);

// Why a mark must be looked at, in words.
export const doubtWords = (doubt) => doubts.querySelector(`[data-doubt="${doubt}"]`)?.textContent ?? doubt.replaceAll("-", " ");

// What became of a mark that was proposed; nothing of one that a person set.
export function stateWords({ state, doubt }) {
  if (state !== "proposed") return state ?? "";
  return doubt ? `proposed, doubted: ${doubtWords(doubt)}` : "proposed";
}

export const many = (count, one = "mark") => `${count} ${one}${count === 1 ? "" : "s"}`;

// How many are left to look at: the doubted one by one, then the others.
export function leftWords(film = laid.film) {
  const of = doubted(film).length, others = left(film).length - of;
  const parts = [of && `${many(of, "doubted mark")} to look at one by one`, others && `${many(others, of ? "other" : "mark")} to confirm`];
  return `${parts.filter(Boolean).join(", then ")}.`;
}
