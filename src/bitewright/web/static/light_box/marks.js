// Marks as drawn things with a name, a place and a keyboard: arrows move, Delete removes.
import { reveal, view } from "./viewer.js";

const SPACE = "http://www.w3.org/2000/svg";
const svg = document.getElementById("marks");
const drawn = new Map();
let held = null;
let act = { moved() {}, removed() {}, focused() {}, accepted() {} };
const STATES = ["proposed", "confirmed", "corrected"];

const make = (name, attributes, parent) => {
  const element = document.createElementNS(SPACE, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  parent.append(element);
  return element;
};
export const kindOf = (name) => name.split(".").at(-1);
export const isContact = (name) => name.split(".").length === 2;

let crossMoved = () => {};
export function onCross(told) {
  crossMoved = told;
}

// The place that the other marks say is lit; null puts it out. [pixels]
const lit = make("circle", { class: "lit", "aria-hidden": "true" }, svg);
export function light(place) {
  lit.style.display = place ? "" : "none";
  if (place) for (const [key, value] of Object.entries({ cx: place.at[0], cy: place.at[1], r: place.reach })) lit.setAttribute(key, value);
}
light(null);

// Marks of another version of the same film, dashed.
const others = make("g", { "aria-hidden": "true" }, svg);
export function ghosts(places) {
  others.replaceChildren();
  for (const [x, y] of places) make("rect", { class: "ghost", x: x - 9 / view.scale, y: y - 9 / view.scale, width: 18 / view.scale, height: 18 / view.scale }, others);
}

// The edge of a blank part, as far as it is placed.
const edge = make("g", { class: "edge", "aria-hidden": "true" }, svg);
export function drawEdge(places) {
  edge.replaceChildren();
  const line = [...places].sort(([a, b], [c, d]) => (spread(places, 0) > spread(places, 1) ? a - c : b - d));
  if (line.length > 1) make("path", { d: `M${line.map((at) => at.join(" ")).join("L")}` }, edge);
  for (const [cx, cy] of places) make("circle", { cx, cy, r: 5 / view.scale }, edge);
}
const spread = (places, k) => Math.max(...places.map((at) => at[k])) - Math.min(...places.map((at) => at[k]));

export function onMark(acts) {
  act = acts;
}

// Draw every seen mark, in words for who listens; those on a border bear brackets, those that were proposed a sign of it.
export function draw(marks, words, titleOf, onBorder, stateWords) {
  for (const [name, group] of drawn) {
    if (marks[name]?.x_px === undefined) {
      group.remove();
      drawn.delete(name);
    }
  }
  for (const [name, mark] of Object.entries(marks)) {
    if (mark.x_px === undefined) continue;
    const group = drawn.get(name) ?? add(name, titleOf(name));
    if (name !== held) put(group, mark.x_px, mark.y_px); // what a save tells meanwhile moves nothing in the hand
    const snapped = onBorder(name, mark);
    group.classList.toggle("snapped", snapped);
    for (const state of STATES) group.classList.toggle(state, mark.state === state);
    group.classList.toggle("doubted", mark.state === "proposed" && mark.doubt !== undefined);
    const state = stateWords(mark);
    group.setAttribute("aria-label", `${words[name] ? `${titleOf(name)}: ${words[name]}` : titleOf(name)}, at ${mark.x_px.toFixed(0)}, ${mark.y_px.toFixed(0)} pixels${snapped ? ", snapped to the border" : ""}${state && `, ${state}`}`);
  }
  size();
}

function add(name, title) {
  const group = make("g", { class: `mark ${kindOf(name)}`, tabindex: "0", role: "button", "data-name": name }, svg);
  make("rect", { x: -12, y: -12, width: 24, height: 24, class: "reach" }, group); // what a finger needs
  make("circle", { r: 7 }, group);
  make("path", { d: "M-3 0H3M0 -3V3" }, group);
  make("path", { class: "doubt", d: "M0 -14L14 0L0 14L-14 0Z" }, group);
  make("path", { class: "tick", d: "M7 8l3 4l6 -8" }, group);
  make("path", { class: "bar", d: "M-16 11h9" }, group);
  make("path", { class: "brackets", d: "M-7 -11H-11V11H-7M7 -11H11V11H7" }, group);
  const text = make("text", { x: 9, y: -7, "font-size": 11, "aria-hidden": "true" }, group);
  text.textContent = title;
  group.addEventListener("keydown", (event) => keyed(event, name, group));
  group.addEventListener("focus", () => {
    reveal(placeOf(name), true);
    act.focused(name);
  });
  drawn.set(name, group);
  return group;
}

function put(group, x, y) {
  group.dataset.x = x;
  group.dataset.y = y;
  size(group);
}

// Marks keep their size on the screen whatever the zoom.
export function size(one = null) {
  for (const group of one ? [one] : drawn.values()) {
    group.setAttribute("transform", `translate(${group.dataset.x} ${group.dataset.y}) scale(${1 / view.scale})`);
  }
  for (const at of one ? [] : edge.querySelectorAll("circle")) at.setAttribute("r", 5 / view.scale);
  for (const text of teeth.children) text.setAttribute("transform", `translate(${text.dataset.x} ${text.dataset.y}) scale(${1 / view.scale})`);
  cross();
}

// The number of each tooth upon it: [code, x, y]. [pixels]
const teeth = make("g", { class: "tooth-numbers", "aria-hidden": "true" }, svg);
export function numberTeeth(all) {
  teeth.replaceChildren();
  for (const [code, x, y] of all) make("text", { "data-x": x, "data-y": y, "font-size": 20, "text-anchor": "middle" }, teeth).textContent = code;
  size();
}

const inside = ([x, y]) => [Math.min(view.columns, Math.max(0, x)), Math.min(view.rows, Math.max(0, y))];

function keyed(event, name, group) {
  const step = event.shiftKey ? 10 : 1;
  const ways = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] };
  if (ways[event.key]) {
    const at = inside([Number(group.dataset.x) + ways[event.key][0], Number(group.dataset.y) + ways[event.key][1]]);
    put(group, ...at);
    act.moved(name, at);
  } else if (event.key === "Delete" || event.key === "Backspace") act.removed(name);
  else if (event.key === "Enter") {
    if (!event.repeat) act.accepted(name); // a key that is held looks at nothing
  }
  else return;
  event.preventDefault();
  event.stopPropagation();
}

// The nearest mark within reach of a place on the stage. [screen pixels]
export function nearest([px, py], reach) {
  let found = null, least = reach;
  for (const [name, group] of drawn) {
    const far = Math.hypot(view.x + Number(group.dataset.x) * view.scale - px, view.y + Number(group.dataset.y) * view.scale - py);
    if (far <= least) [found, least] = [name, far];
  }
  return found;
}

export const placeOf = (name) => [Number(drawn.get(name).dataset.x), Number(drawn.get(name).dataset.y)];
export const isFocused = (name) => drawn.get(name) === document.activeElement;

// The hand has let go.
export function release() {
  held = null;
}

// A hand has taken a mark: it is in focus, and on no border until it is put down.
export function take(name) {
  const group = drawn.get(name);
  held = name;
  group.classList.remove("snapped");
  group.focus({ preventScroll: true });
}

export function carry(name, [dx, dy]) {
  const [x, y] = placeOf(name);
  put(drawn.get(name), ...inside([x + dx / view.scale, y + dy / view.scale]));
}

export function focus(name) {
  drawn.get(name)?.focus();
}

// The cross that the keyboard moves over the film.
const pointer = make("g", { class: "cross" }, svg);
make("path", { d: "M-14 0H-4M4 0H14M0 -14V-4M0 4V14" }, pointer);
pointer.style.display = "none";
export const at = { x: 0, y: 0 };

export function moveCross(dx, dy) {
  startCross([at.x + dx, at.y + dy]);
  showCross();
  crossMoved();
}

// Where the cross starts from, out of sight until a key moves it.
export function startCross([x, y]) {
  [at.x, at.y] = inside([x, y]);
  cross();
}

export function showCross() {
  pointer.style.display = "";
  reveal([at.x, at.y]);
}

export function hideCross() {
  pointer.style.display = "none";
}

function cross() {
  pointer.setAttribute("transform", `translate(${at.x} ${at.y}) scale(${1 / view.scale})`);
}
