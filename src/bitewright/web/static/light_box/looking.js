// A person looks at proposed marks: from one doubted to the next, takes each as it is or moves it, then confirms the rest.
import { showTeeth } from "./aiming.js";
import { laid, marksOf, mmOf, titleOf, words } from "./laid.js";
import * as marks from "./marks.js";
import { by, tell, wholeInView } from "./page.js";
import { changeAll, moving, remove } from "./placing.js";
import * as numbering from "./numbering.js";
import { teethOf, toothPlaces } from "./numbers.js";
import { doubted, doubtWords, filmDoubtWords, isNumbersAsked, isWaiting, left, leftWords, many } from "./proposals.js";
import * as viewer from "./viewer.js";
import { missing, showNext } from "./wanted.js";

const NEAR_PX_PER_MM = 45; // a contact and both its teeth fill the stage
const USUAL_WIDTH_MM = 41;
const MARKING = ["skip", "outside", "hidden-mark", "tooth-missing"]; // of marks that are asked for, which waits meanwhile
let current = null;

const sentence = (text) => text.replace(/^./, (c) => c.toUpperCase());
const named = (name) => words()[name] ?? titleOf(name);

// A mark is in focus; null: none.
export function at(name) {
  current = name;
  if (laid.film && isWaiting()) {
    showNext();
    numbering.show(name);
  }
}

// In the order in which marks are asked for.
function inOrder(names) {
  const order = laid.film.wanted.map((w) => w.name);
  const rank = (name) => (order.includes(name) ? order.indexOf(name) : order.length);
  return [...names].sort((a, b) => rank(a) - rank(b));
}

// The next doubted mark, in the middle of the stage and near enough to judge it.
export function nextDoubted() {
  const all = inOrder(new Set([...doubted(), ...(current && current in marksOf(laid.film) ? [current] : [])]));
  const from = all.indexOf(current);
  const name = [...all.slice(from + 1), ...all.slice(0, from + 1)].find((each) => doubted().includes(each));
  if (name === undefined) {
    if (isNumbersAsked()) viewer.fit(); // the numbers stand on the whole film
    by(isNumbersAsked() ? "numbers-right" : left().length ? "confirm-rest" : "stage").focus();
    wholeInView(by("stage"));
    return;
  }
  const { film } = laid;
  const mark = marksOf(film)[name];
  at(name);
  if (mark.x_px === undefined) return;
  const mm = mmOf(film) ?? USUAL_WIDTH_MM / film.columns;
  viewer.look(Math.max(viewer.view.scale, NEAR_PX_PER_MM * mm), [mark.x_px / film.columns, mark.y_px / film.rows]);
  marks.focus(name);
}

// It lies right. One that was moved is looked at already: on to the next.
export function accept(name = current) {
  moving.endAll();
  const mark = marksOf(laid.film)[name];
  if (!mark?.state) return;
  if (mark.state === "proposed") {
    changeAll({ [name]: { ...mark, state: "confirmed" } });
    tell(`Confirmed ${named(name)}.`);
  }
  if (isWaiting()) nextDoubted();
}

// It is taken away: on to the next, for what was in focus is gone.
export function takeAway(name) {
  remove(name);
  if (isWaiting()) nextDoubted();
  else by("stage").focus();
}

// All that are not doubted, once no doubted one is left and the teeth are said to be numbered right.
export function confirmRest() {
  moving.endAll();
  const names = left();
  if (!names.length || doubted().length || isNumbersAsked()) return;
  changeAll(Object.fromEntries(names.map((name) => [name, { ...marksOf(laid.film)[name], state: "confirmed" }])));
  tell(`${many(names.length)} confirmed. U takes that back.`);
  by("stage").focus();
}

export function discard() {
  moving.endAll();
  const names = left();
  changeAll(Object.fromEntries(names.map((name) => [name, null])));
  tell(`${many(names.length)} taken off. U brings them back.`);
  by("stage").focus();
}

// The buttons, as the film's marks are.
export function refresh() {
  const all = left().length, of = doubted().length;
  const { view } = laid.film.marks;
  by("propose-row").hidden = !view;
  offerMissing(view);
  by("film-doubtful").textContent = isWaiting() ? filmDoubtWords().join(" ") : "";
  by("film-doubtful").hidden = !by("film-doubtful").textContent;
  turned(view ?? "");
  by("proposed-acts").hidden = !isWaiting();
  by("proposed-note").hidden = by("discard-proposed").hidden = !all;
  by("next-doubted").hidden = by("accept").hidden = !all;
  by("next-doubted").disabled = !of;
  by("confirm-rest").hidden = all === of;
  by("confirm-rest").disabled = of > 0 || isNumbersAsked();
  by("confirm-rest").textContent = of ? `Confirm the ${all - of} not doubted` : `Confirm all ${all}`;
  numbering.show(current);
  marks.numberTeeth(isNumbersAsked() ? toothPlaces(marksOf(laid.film)) : []);
  for (const id of MARKING) by(id).hidden = isWaiting();
  const states = new Set(Object.values(marksOf(laid.film)).map((mark) => mark.state));
  for (const item of document.querySelectorAll("[data-of-state]")) item.hidden = !states.has(item.dataset.ofState);
}

// Teeth of the view's side that may be said to be missing.
function offerMissing(view) {
  const codes = view ? teethOf(view).filter((code) => !missing().includes(code)) : [];
  by("missing-tooth").replaceChildren(new Option("choose", ""), ...codes.map((code) => new Option(code, code)));
}

// A picture that stands where its view lies was turned, or is of another view; a square one tells nothing.
function turned(view) {
  const { columns, rows } = laid.film;
  const isUpright = view.endsWith("-vertical");
  by("stands-upright").hidden = !view || isUpright || rows <= columns;
  by("lies-across").hidden = !isUpright || columns <= rows;
}

// What is said in the place of the next mark while proposed ones wait for a person.
export function show(place) {
  const mark = marksOf(laid.film)[current];
  by("looking-at").textContent = mark?.state === "proposed" ? `${titleOf(current)}${mark.doubt ? `: ${doubtWords(mark.doubt)}` : ""}` : "";
  const bold = document.createElement("b");
  by("stage-of-marking").textContent = `Left: ${leftWords()}`;
  if (mark?.state === "proposed") {
    showTeeth(current, () => laid.film && showNext());
    bold.textContent = `Proposed: ${named(current)}`;
    const why = mark.doubt ? `${sentence(doubtWords(mark.doubt))}. ` : "";
    place.append(bold, `${why}Enter says that it lies right. Else drag it or move it with the arrow keys; Delete takes it away. D goes to the next doubted one.`);
    return;
  }
  bold.textContent = left().length ? `${many(left().length)} proposed` : "Every proposed mark is looked at";
  place.append(bold, whatNext());
}

function whatNext() {
  const isWhole = doubted().length === left().length && left().length > 0 && isNumbersAsked();
  const first = filmDoubtWords().length ? "Check first what is said above of the whole film. " : "";
  if (isWhole) return `Every one is doubted. ${first}Where a number on the film is wrong, say which tooth is missing, also where its space has closed, or put a mark in focus and name its tooth. Then D goes to the next doubted one: say of each that it lies right, or move it.`;
  if (doubted().length) return "D goes to the next doubted one: say of each that it lies right, or move it.";
  const none = left().length ? "No doubted mark is left. " : "";
  if (isNumbersAsked()) return `${none}Say whether the teeth are numbered right: all of them may be named one place off. To name one otherwise, put one of its marks in focus.`;
  return `${none}Look the others over, then confirm them.`;
}
