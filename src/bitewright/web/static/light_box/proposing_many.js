// Marks are proposed on every film in sight that has none, one after the other; a table tells which need a person most.
import { json } from "../fetched.js";
import * as drafts from "./drafts.js";
import { refresh } from "./film_sheet.js";
import { saves } from "./keeping.js";
import { find, isOnStage, laid, marksOf, renew } from "./laid.js";
import { measure } from "./measuring.js";
import * as mount from "./mount.js";
import { by, mayWrite, sent, tell, wholeInView } from "./page.js";
import { doubted, isWaiting, left, many, proposalWords, withNumbers } from "./proposals.js";
import { choose } from "./stage.js";

const TABLE = "proposed-films";
const said = new Map(); // films in the table: why nothing is proposed on one, empty where marks are
let asking = null;

const waiting = () => mount.inSight().filter((film) => !Object.keys(marksOf(film)).length);

export async function proposeMany() {
  if (!mayWrite || asking) return;
  const films = waiting();
  if (!films.length) {
    tell("Every film in sight has marks already: nothing is proposed.");
    showAgain(true);
    return;
  }
  asking = new AbortController();
  said.clear();
  by("proposed-films").hidden = by("many-going").hidden = false;
  try {
    for (const [done, film] of films.entries()) {
      by("many-progress").max = films.length;
      by("many-progress").value = done;
      by("many-said").textContent = `${done} of ${films.length}; now ${film.label}.`;
      said.set(film.id, await proposed(film.id, asking.signal));
      remember();
      showTable();
    }
    by("many-said").textContent = doneWords();
  } catch (error) {
    by("many-said").textContent = error.name === "AbortError" ? `Cancelled. ${doneWords()}` : error.message;
  } finally {
    asking = null;
    by("many-going").hidden = true;
  }
}

export function cancelMany() {
  asking?.abort();
}

export function closeMany() {
  cancelMany();
  said.clear();
  remember();
  by("proposed-films").hidden = true;
  by("propose-many").focus();
}

const remember = () => drafts.remember(TABLE, said.size ? JSON.stringify([...said]) : "closed");

// The page is loaded anew, or opened another day: what was said of each film, and which of them wait for a person.
export function showAgain(isAsked = false) {
  if (!mayWrite || asking) return;
  const known = drafts.remembered(TABLE);
  if (!said.size && known && known !== "closed") for (const [id, why] of JSON.parse(known)) said.set(id, why);
  const waits = laid.films.filter((film) => isWaiting(film));
  if (said.size || isAsked || (waits.length > 1 && known !== "closed")) for (const film of waits) said.set(film.id, []);
  for (const id of said.keys()) if (!find(id)) said.delete(id);
  if (!said.size) return;
  by("proposed-films").hidden = false;
  by("many-going").hidden = true;
  by("many-said").textContent = doneWords();
  showTable();
}

function doneWords() {
  const films = [...said.keys()].map(find).filter(Boolean);
  const marked = films.filter((film) => Object.keys(marksOf(film)).length).length;
  const of = films.filter((film) => isWaiting(film)).length;
  const rest = of ? `${many(of, "film")} ${of === 1 ? "waits" : "wait"} for you: open each, and look at its marks; nothing is measured before.` : "Each is looked at.";
  return `Marks are proposed on ${marked} of ${many(said.size, "film")}.${marked ? ` ${rest}` : ""}`;
}

// One film: its marks are kept as proposed. What is said of it is given back, also where it cannot be done.
async function proposed(id, signal) {
  try {
    await saves.settled(id);
    const made = await json(`/light-box/films/${id}/proposal?view_too=true`, { signal });
    if (made.marks === null) return made.sentences;
    const film = find(id);
    if (!film || Object.keys(marksOf(film)).length) return ["It was marked meanwhile, so nothing is proposed."];
    const marks = withNumbers({ ...film.marks, view: made.marks.view, marks: made.marks.marks, proposed: made.marks.proposed });
    const kept = await json(`/light-box/films/${id}/marks`, sent("PUT", { version: film.marks_version, marks }));
    renew(id, { ...kept, marks });
    if (isOnStage(id)) {
      refresh();
      measure();
    } else mount.lay(laid.films, laid.film?.id ?? null);
    return [];
  } catch (error) {
    if (error.name === "AbortError") throw error;
    return [error.message];
  }
}

// Films without marks first, then those with most doubted ones.
function showTable() {
  const films = [...said.keys()].map(find).filter(Boolean);
  const rank = (film) => (left(film).length ? doubted(film).length : Infinity);
  films.sort((a, b) => rank(b) - rank(a) || a.id - b.id);
  document.querySelector("#many-films tbody").replaceChildren(...films.map(rowOf));
}

// What is looked at meanwhile counts; the rows stay in their order under a hand.
function count() {
  if (by("proposed-films").hidden) return;
  for (const row of document.querySelectorAll("#many-films tbody tr")) {
    const film = find(Number(row.dataset.film));
    if (film) tellIn(row, film);
  }
  if (!asking) by("many-said").textContent = doneWords();
}
mount.onLaid(count);

function tellIn(row, film) {
  const words = wordsOf(film);
  row.querySelector("p").textContent = [film.titles.view && `${film.titles.view}: `, words].filter(Boolean).join("").replace(/^./, (c) => c.toUpperCase());
  const [of, all] = row.querySelectorAll(".figure");
  of.textContent = left(film).length ? doubted(film).length : "";
  all.textContent = left(film).length || "";
}

function wordsOf(film) {
  if (!Object.keys(marksOf(film)).length) return said.get(film.id).join(" ");
  if (!isWaiting(film)) return "looked at.";
  return left(film).length ? proposalWords(film).join(" ") : "say whether the teeth are numbered right.";
}

function rowOf(film) {
  const row = document.createElement("tr");
  const name = Object.assign(document.createElement("th"), { scope: "row" });
  const open = Object.assign(document.createElement("button"), { type: "button" });
  open.append(mount.pictureOf(film), film.label);
  open.addEventListener("click", async () => {
    await choose(film.id);
    by("stage").focus();
    wholeInView(by("stage"));
  });
  name.append(open, document.createElement("p"));
  const cell = () => Object.assign(document.createElement("td"), { className: "figure" });
  row.append(name, cell(), cell());
  row.dataset.film = film.id;
  tellIn(row, film);
  return row;
}
