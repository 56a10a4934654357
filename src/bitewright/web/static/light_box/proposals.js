// Which marks of a film are proposed and wait for a person, and which of them are doubted.
import { laid, marksOf } from "./laid.js";

const doubts = document.getElementById("doubts");
const filmDoubts = document.getElementById("film-doubts");

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

// What is left to do: the doubted marks one by one, the numbers, then the other marks.
export function leftWords(film = laid.film) {
  const of = doubted(film).length, others = left(film).length - of;
  const parts = [of && `${many(of, "doubted mark")} to look at one by one`, isNumbersAsked(film) && "to say whether the teeth are numbered right", others && `${many(others, of ? "other" : "mark")} to confirm`];
  return `${parts.filter(Boolean).join(", then ")}.`;
}

// The same in a line of a film's card; nothing where no proposal waits.
export function shortWords(film) {
  if (!isWaiting(film)) return "";
  const of = doubted(film).length;
  return left(film).length ? `${left(film).length} to look at${of ? `, ${of} doubted` : ""}` : "numbers to confirm";
}

// "25 is missing", "14 and 44 are missing"; nothing where none is.
export function missingWords(codes) {
  if (!codes.length) return "";
  return `${[codes.slice(0, -1).join(", "), codes.at(-1)].filter(Boolean).join(" and ")} ${codes.length === 1 ? "is" : "are"} missing`;
}

// What was said of the film when marks were proposed, as long as it waits for a person: how many, then what is doubtful.
export function proposalWords(film = laid.film) {
  const first = film.marks.proposed;
  if (!first) return [];
  return [`${many(first.marks.length)} proposed, ${first.doubted?.length ?? 0} of them doubtful.`, ...filmDoubtWords(film)];
}

export function filmDoubtWords(film = laid.film) {
  const { film_doubts = [], likely_view = null } = film.marks.proposed ?? {};
  const isSettled = (doubt) => doubt === "numbering" && !isNumbersAsked(film); // a person has said so
  const said = film_doubts.filter((doubt) => !isSettled(doubt)).map((doubt) => filmDoubts.querySelector(`[data-doubt="${doubt}"]`)?.textContent ?? "");
  return [...said, otherView(film, likely_view)].filter(Boolean);
}

function otherView({ marks }, likely) {
  if (!likely || likely === marks.view) return "";
  const title = (view) => document.querySelector(`#view option[value="${view}"]`)?.textContent ?? view;
  return filmDoubts.dataset.otherView.replace("LIKELY", title(likely)).replace("CHOSEN", title(marks.view));
}
