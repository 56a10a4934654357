// Films laid out by visit and by place in the mouth, as in a mount.
import { fetched } from "../fetched.js";
import { BYTES, paint } from "../paint.js";

const places = document.getElementById("places");
const ORDER = ["right-molar", "right-premolar", "left-premolar", "left-molar"];
const thumbs = new Map();
const wanted = [];
const leaving = new AbortController();

const rank = (film) => {
  const name = (film.marks.view ?? "").replace("-vertical", "");
  return ORDER.includes(name) ? ORDER.indexOf(name) : ORDER.length;
};

export function lay(films, current, choose) {
  const visits = Map.groupBy ? Map.groupBy(films, (f) => f.visit) : grouped(films);
  places.replaceChildren();
  for (const [visit, own] of [...visits].reverse()) {
    const title = document.createElement("h3");
    title.textContent = visit;
    const list = document.createElement("ol");
    for (const film of [...own].sort((a, b) => rank(a) - rank(b) || a.id - b.id)) list.append(entry(film, current, choose));
    places.append(title, list);
  }
}

function grouped(films) {
  const groups = new Map();
  for (const film of films) groups.set(film.visit, [...(groups.get(film.visit) ?? []), film]);
  return groups;
}

function entry(film, current, choose) {
  const item = document.createElement("li");
  const button = document.createElement("button");
  button.type = "button";
  button.setAttribute("aria-current", String(film.id === current));
  button.append(thumb(film), film.titles.view ?? "no view yet", document.createElement("br"), film.label);
  if (film.decision.decision) button.append(document.createElement("br"), film.decision.decision);
  button.addEventListener("click", () => choose(film.id));
  item.append(button);
  return item;
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
