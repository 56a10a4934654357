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

// Geometry alone sees badly that all teeth are named one place off, so of every film a person is asked, once.
export const isNumbersAsked = (film = laid.film) => film.marks.numbers === "asked" || (left(film).length > 0 && film.marks.numbers !== "right");

// Something that was proposed waits for a person.
export const isWaiting = (film = laid.film) => left(film).length > 0 || isNumbersAsked(film);

// Marks as they are kept: while any is only proposed, the numbers are asked for; where none was, they are not.
export function withNumbers(marks) {
  const all = Object.values(marks.marks ?? {});
  if (marks.numbers === undefined && all.some((mark) => mark.state === "proposed")) return { ...marks, numbers: "asked" };
  if (marks.numbers === undefined || all.some((mark) => mark.state)) return marks;
  const { numbers, ...others } = marks;
  return others;
}

// How many are left to look at: the doubted one by one, then the others.
export function leftWords(film = laid.film) {
  if (!left(film).length) return "to say whether the teeth are numbered right.";
  const of = doubted(film).length, others = left(film).length - of;
  const parts = [of && `${many(of, "doubted mark")} to look at one by one`, others && `${many(others, of ? "other" : "mark")} to confirm`];
  return `${parts.filter(Boolean).join(", then ")}.`;
}
