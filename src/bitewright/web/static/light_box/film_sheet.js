// What the page shows of the film on the stage: its name and facts, its marks, the next one, the list of all.
import * as beside from "./beside.js";
import { isOnBorder } from "./borders.js";
import * as clearEdge from "./clear_edge.js";
import * as deciding from "./deciding.js";
import { here, laid, marksOf, mmOf, titleOf, words } from "./laid.js";
import * as looking from "./looking.js";
import * as marks from "./marks.js";
import { waitForPerson } from "./measuring.js";
import * as mount from "./mount.js";
import { by } from "./page.js";
import { isWaiting, stateWords } from "./proposals.js";
import * as seeing from "./seeing.js";
import { missing, showNext } from "./wanted.js";

const OF_A_FILM = ["kept-facts", "about-film", "film-acts", "remove-film", "decision"];
const CHOSEN = ["view", "receptor", "holder", "mounting"];
let remove = () => {};

// `act(name)`: the button beside a mark in the list.
export function onRemove(act) {
  remove = act;
}

export function refresh() {
  const { film } = laid;
  laid.films = laid.films.map((f) => (f.id === film.id ? film : f));
  mount.lay(laid.films, film.id);
  by("film-name").textContent = film.label;
  by("film-facts").textContent = `${film.columns} × ${film.rows}, ${sizeWords(film)}`;
  by("film-about").textContent = [film.titles.view ?? "no view yet", film.titles.receptor, film.titles.holder, film.visit].filter(Boolean).join(", ");
  by("kept").textContent = Object.entries(film.kept).map(([name, said]) => `${name.replaceAll("_", " ")}: ${said}`).join("; ");
  showAbout();
  by("picture").setAttribute("aria-label", `Film ${film.label}, ${film.titles.view ?? "no view yet"}, ${Object.keys(marksOf(film)).length} marks`);
  for (const name of CHOSEN) by(name).value = film.marks[name] ?? (name === "mounting" ? "as-seen-from-the-tube" : "");
  marks.draw(marksOf(film), words(), titleOf, isOnBorder, stateWords);
  showNext();
  seeing.refresh(by("next").dataset.name);
  clearEdge.refresh();
  showMissing();
  looking.refresh();
  showList();
  showVisit();
  by("marks-file").hidden = !film.marks.view;
  by("marks-file").href = here("/marks-file");
  by("log-film").href = `/record/log?film=${film.id}`;
  by("own-film").href = `/own-films?film=${film.id}`;
  for (const id of OF_A_FILM) by(id).hidden = false;
  waitForPerson();
  deciding.show();
}

// Teeth told to be missing; a press on one says that it stands.
function showMissing() {
  by("missing-teeth").hidden = missing().length === 0;
  const there = missing().map((code) => {
    const button = document.createElement("button");
    button.type = "button";
    button.dataset.tooth = code;
    button.textContent = `${code} stands after all`;
    return button;
  });
  by("missing-teeth").replaceChildren(`Missing: ${missing().join(", ")}. `, ...there);
}

function sizeWords(film) {
  const mm = mmOf(film);
  if (!mm) return "pixel size not stated: give it under Name, visit, pixel size";
  return `${Number(mm.toFixed(4))} mm a pixel${film.marks.pixel_mm ? ", as given here" : ""}`;
}

// What is being typed stays.
function showAbout() {
  const form = by("film-form");
  const { film } = laid;
  if (form.contains(document.activeElement) && form.dataset.film === String(film.id)) return;
  form.dataset.film = film.id;
  form.elements.label.value = film.label;
  form.elements.visit.value = film.visit;
  form.elements.pixel_mm.value = film.marks.pixel_mm ?? "";
  beside.offer(laid.films.filter((f) => f.id !== film.id));
}

// Other films of the visit that say something of its mouth: the same picture, marked once more, is no other film.
function showVisit() {
  const others = laid.films.filter((f) => f.sha256 !== laid.film.sha256 && f.visit === laid.film.visit && f.marks.view && !isWaiting(f) && Object.values(marksOf(f)).some((m) => m.x_px !== undefined));
  by("visit-row").hidden = !others.length;
  by("visit-films").textContent = others.map((f) => `${f.label} (${f.titles.view})`).join(", ");
  if (!others.length) by("together").checked = false;
}

function showList() {
  const given = marksOf(laid.film);
  by("count").textContent = laid.film.wanted.length ? `${Object.keys(given).length} placed, ${laid.film.wanted.filter((w) => !(w.name in given)).length} to go` : "";
  by("mark-list").replaceChildren(...Object.entries(given).map(listed));
}

function listed([name, mark]) {
  const item = document.createElement("li");
  const go = document.createElement("button");
  go.type = "button";
  const said = mark.status && mark.status !== "seen" ? mark.status : stateWords(mark);
  go.textContent = `${titleOf(name)}${said ? ` (${said})` : ""}`;
  go.addEventListener("click", () => marks.focus(name));
  const drop = document.createElement("button");
  drop.type = "button";
  drop.textContent = "×";
  drop.setAttribute("aria-label", `Remove ${words()[name] ?? titleOf(name)}`);
  drop.addEventListener("click", () => remove(name));
  item.append(go, drop);
  return item;
}
