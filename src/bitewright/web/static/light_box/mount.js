// Films laid out by visit and by place in the mouth, as in a mount: filtered, folded, several chosen at once.
import { fetched } from "../fetched.js";
import { BYTES, paint } from "../paint.js";
import { shortWords } from "./proposals.js";

const places = document.getElementById("places");
const filter = document.getElementById("filter");
const several = document.getElementById("several");
const ORDER = ["right-molar", "right-premolar", "left-premolar", "left-molar"];
const thumbs = new Map();
const wanted = [];
const leaving = new AbortController();
const folded = new Set();
const chosen = new Set();
let shown = { films: [], current: null };
let choose = () => {};
let choseSeveral = () => {};
let laidOut = () => {};

const rank = (film) => {
  const name = (film.marks.view ?? "").replace("-vertical", "");
  return ORDER.includes(name) ? ORDER.indexOf(name) : ORDER.length;
};
const byName = (a, b) => a.label.localeCompare(b.label, undefined, { numeric: true }) || a.id - b.id;
const isAskedFor = (film) => `${film.label} ${film.visit} ${film.titles.view ?? ""} ${film.decision.decision ?? ""}`.toLowerCase().includes(filter.value.trim().toLowerCase());
const isSeveral = () => several.getAttribute("aria-pressed") === "true";

// `act()`: the films are laid out anew.
export function onLaid(act) {
  laidOut = act;
}

// `act(number)`: a film was chosen.
export function onChoose(act) {
  choose = act;
}

export function lay(films, current) {
  shown = { films, current };
  const visits = new Map();
  for (const film of films) visits.set(film.visit, [...(visits.get(film.visit) ?? []), film]);
  places.replaceChildren(...[...visits].reverse().map(([visit, own]) => visitOf(visit, own)).filter(Boolean));
  document.getElementById("finding").hidden = films.length < 2;
  tellChosen();
  laidOut();
}

function visitOf(visit, own) {
  const found = own.filter(isAskedFor);
  if (!found.length) return null;
  const box = document.createElement("details");
  box.open = !folded.has(visit);
  box.addEventListener("toggle", () => (box.open ? folded.delete(visit) : folded.add(visit)));
  const title = document.createElement("summary");
  title.textContent = `${visit} (${found.length})`;
  const list = document.createElement("ol");
  list.append(...found.sort((a, b) => rank(a) - rank(b) || byName(a, b)).map(entry));
  box.append(title, list, together(visit));
  return box;
}

/** The way to what a visit's films show together, for the question that is chosen when it is taken. */
function together(visit) {
  const link = document.createElement("a");
  link.textContent = "What these films show together";
  const to = () => `/light-box/visit?${new URLSearchParams({ visit, question: document.getElementById("question").value })}`;
  link.href = to();
  link.addEventListener("click", () => (link.href = to()));
  return link;
}

function entry(film) {
  const item = document.createElement("li");
  const button = document.createElement("button");
  button.type = "button";
  button.setAttribute("aria-current", String(film.id === shown.current));
  button.append(thumb(film), film.titles.view ?? "no view yet", document.createElement("br"), film.label);
  const waits = shortWords(film);
  if (waits) button.append(document.createElement("br"), Object.assign(document.createElement("b"), { textContent: waits }));
  if (film.decision.decision) button.append(document.createElement("br"), film.decision.decision);
  button.addEventListener("click", () => choose(film.id));
  if (isSeveral()) item.append(box(film));
  item.append(button);
  return item;
}

function box(film) {
  const label = document.createElement("label");
  const input = Object.assign(document.createElement("input"), { type: "checkbox", checked: chosen.has(film.id) });
  input.addEventListener("change", () => {
    if (input.checked) chosen.add(film.id);
    else chosen.delete(film.id);
    tellChosen();
  });
  const words = Object.assign(document.createElement("span"), { className: "unseen", textContent: film.label });
  label.append(input, words);
  return label;
}

function tellChosen() {
  for (const id of chosen) if (!shown.films.some((film) => film.id === id)) chosen.delete(id);
  choseSeveral(isSeveral(), shown.films.filter((film) => chosen.has(film.id)));
}

const again = () => lay(shown.films, shown.current);
filter.addEventListener("input", again);
several.addEventListener("click", () => {
  several.setAttribute("aria-pressed", String(!isSeveral()));
  if (!isSeveral()) chosen.clear();
  again();
});

// `told(isSeveral, films)`: whether several may be chosen, and which are.
export function onSeveral(told) {
  choseSeveral = told;
}

export const inSight = () => shown.films.filter(isAskedFor);

// A copy of a film's small picture, for another place on the page.
export function pictureOf(film) {
  const from = thumb(film);
  const made = Object.assign(document.createElement("canvas"), { width: from.width, height: from.height });
  made.setAttribute("aria-hidden", "true");
  made.dataset.copyOf = film.id;
  made.getContext("2d").drawImage(from, 0, 0);
  return made;
}

// Every film that is in sight.
export function chooseAll() {
  for (const film of inSight()) chosen.add(film.id);
  again();
}

function thumb(film) {
  if (!thumbs.has(film.id)) {
    const canvas = document.createElement("canvas");
    canvas.width = 80;
    canvas.height = Math.round((80 * film.rows) / film.columns);
    canvas.setAttribute("aria-hidden", "true");
    thumbs.set(film.id, canvas);
    wanted.push(film.id);
    if (wanted.length === 1) fetchPictures();
  }
  return thumbs.get(film.id);
}

// One after the other, so that the film on the stage never waits for many.
async function fetchPictures() {
  while (wanted.length) {
    const canvas = thumbs.get(wanted[0]);
    try {
      const answer = await fetched(`/light-box/films/${wanted[0]}/picture`, { signal: leaving.signal });
      paint(canvas, new Uint8Array(await answer.arrayBuffer()), Number(answer.headers.get("x-columns")), Number(answer.headers.get("x-rows")), BYTES);
      canvas.dataset.shown = "yes";
      for (const copy of document.querySelectorAll(`[data-copy-of="${wanted[0]}"]`)) {
        [copy.width, copy.height] = [canvas.width, canvas.height];
        copy.getContext("2d").drawImage(canvas, 0, 0);
      }
    } catch {
      // The place stays dark; the film itself tells what is wrong once it is chosen.
    }
    wanted.shift();
  }
}

// The page is about to be loaded anew, a film is about to go: ask for no more pictures.
export function leave() {
  wanted.length = 0;
  leaving.abort();
}
