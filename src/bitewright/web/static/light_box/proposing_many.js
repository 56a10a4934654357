// Marks are proposed on every film in sight that has none, one after the other; a table tells which need a person most.
import { json } from "../fetched.js";
import { refresh } from "./film_sheet.js";
import { saves } from "./keeping.js";
import { find, isOnStage, laid, marksOf, renew } from "./laid.js";
import { measure } from "./measuring.js";
import * as mount from "./mount.js";
import { by, mayWrite, sent, tell } from "./page.js";
import { doubted, left, many, withNumbers } from "./proposals.js";
import { choose } from "./stage.js";

const said = new Map(); // of each film asked for: what is said of it, or why nothing is proposed
let asking = null;

const waiting = () => mount.inSight().filter((film) => !Object.keys(marksOf(film)).length);

export async function proposeMany() {
  if (!mayWrite || asking) return;
  const films = waiting();
  if (!films.length) {
    tell("Every film in sight has marks already: nothing is proposed.");
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

function doneWords() {
  const marked = [...said.keys()].filter((id) => find(id) && left(find(id)).length).length;
  return `Marks are proposed on ${marked} of ${many(said.size, "film")}. Open each, and look at them; nothing is measured before.`;
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
    return made.sentences;
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

function rowOf(film) {
  const row = document.createElement("tr");
  const name = Object.assign(document.createElement("th"), { scope: "row" });
  const open = Object.assign(document.createElement("button"), { type: "button" });
  open.append(mount.pictureOf(film), film.label);
  open.addEventListener("click", async () => {
    await choose(film.id);
    by("stage").focus();
  });
  const words = [film.titles.view && `${film.titles.view}: `, said.get(film.id).join(" ")].filter(Boolean).join("");
  name.append(open, Object.assign(document.createElement("p"), { textContent: words.replace(/^./, (c) => c.toUpperCase()) }));
  const cell = (text) => Object.assign(document.createElement("td"), { textContent: text, className: "figure" });
  row.append(name, cell(doubted(film).length), cell(left(film).length));
  return row;
}
