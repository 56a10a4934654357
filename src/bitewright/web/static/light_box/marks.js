// Marks as drawn things with a name, a place and a keyboard: arrows move, Delete removes.
import { reveal, view } from "./viewer.js";

const SPACE = "http://www.w3.org/2000/svg";
const svg = document.getElementById("marks");
const drawn = new Map();
let act = { moved() {}, dropped() {}, removed() {}, focused() {} };

const make = (name, attributes, parent) => {
  const element = document.createElementNS(SPACE, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  parent.append(element);
  return element;
};
export const kindOf = (name) => name.split(".").at(-1);
export const isContact = (name) => name.split(".").length === 2;

export function onMark(acts) {
  act = acts;
}

// Draw every seen mark, in words for who listens; those on a border bear brackets.
export function draw(marks, words, titleOf, onBorder) {
  for (const [name, group] of drawn) {
    if (marks[name]?.x_px === undefined) {
      group.remove();
      drawn.delete(name);
    }
  }
  for (const [name, mark] of Object.entries(marks)) {
    if (mark.x_px === undefined) continue;
    const group = drawn.get(name) ?? add(name, titleOf(name));
    put(group, mark.x_px, mark.y_px);
    const snapped = onBorder(name, mark);
    group.classList.toggle("snapped", snapped);
    group.setAttribute("aria-label", `${words[name] ? `${titleOf(name)}: ${words[name]}` : titleOf(name)}, at ${mark.x_px.toFixed(0)}, ${mark.y_px.toFixed(0)} pixels${snapped ? ", snapped to the border" : ""}`);
  }
  size();
}

function add(name, title) {
  const group = make("g", { class: `mark ${kindOf(name)}`, tabindex: "0", role: "button", "data-name": name }, svg);
  make("circle", { r: 7 }, group);
  make("path", { d: "M-3 0H3M0 -3V3" }, group);
  make("path", { class: "brackets", d: "M-7 -11H-11V11H-7M7 -11H11V11H7" }, group);
  const text = make("text", { x: 9, y: -7, "font-size": 11, "aria-hidden": "true" }, group);
  text.textContent = title;
  group.addEventListener("keydown", (event) => keyed(event, name, group));
  group.addEventListener("focus", () => {
    reveal([Number(group.dataset.x), Number(group.dataset.y)], true);
    act.focused(name);
  });
  group.addEventListener("pointerdown", (event) => dragged(event, name, group));
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
  cross();
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
  else return;
  event.preventDefault();
  event.stopPropagation();
}

function dragged(event, name, group) {
  if (event.button !== 0) return;
  event.preventDefault();
  event.stopPropagation();
  group.focus();
  group.setPointerCapture(event.pointerId);
  let last = [event.clientX, event.clientY];
  let hasMoved = false;
  const moving = (e) => {
    hasMoved = true;
    group.classList.remove("snapped");
    const at = inside([
      Number(group.dataset.x) + (e.clientX - last[0]) / view.scale,
      Number(group.dataset.y) + (e.clientY - last[1]) / view.scale,
    ]);
    last = [e.clientX, e.clientY];
    put(group, ...at);
  };
  const done = (e) => {
    group.removeEventListener("pointermove", moving);
    if (hasMoved) act.dropped(name, [Number(group.dataset.x), Number(group.dataset.y)], e);
  };
  group.addEventListener("pointermove", moving);
  group.addEventListener("pointerup", done, { once: true });
  group.addEventListener("pointercancel", done, { once: true });
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
  [at.x, at.y] = inside([at.x + dx, at.y + dy]);
  pointer.style.display = "";
  cross();
  reveal([at.x, at.y]);
}

export function centreCross() {
  at.x = view.columns / 2;
  at.y = view.rows / 2;
}

export function hideCross() {
  pointer.style.display = "none";
}

function cross() {
  pointer.setAttribute("transform", `translate(${at.x} ${at.y}) scale(${1 / view.scale})`);
}
