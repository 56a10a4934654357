// Small words for drawing: shapes in millimetres, kept and changed rather than made anew.
import { set } from "./changed.js";

const SPACE = "http://www.w3.org/2000/svg";

export function make(name, attributes = {}, parent = null) {
  const element = document.createElementNS(SPACE, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  parent?.append(element);
  return element;
}

export const path = (places, closed = true) =>
  "M" + places.map(([x, y]) => `${x} ${y}`).join("L") + (closed ? "Z" : "");

export const draw = (shape, d) => set(shape, "d", d);

export function words(parent, text, [x, y], kind = "") {
  const element = make("text", { x, y, class: kind }, parent);
  element.textContent = text;
  return element;
}

// The view box that holds places, with a margin.
export function fit(svg, places, margin) {
  const xs = places.map((p) => p[0]), ys = places.map((p) => p[1]);
  const left = Math.min(...xs) - margin, top = Math.min(...ys) - margin;
  const width = Math.max(...xs) + margin - left, height = Math.max(...ys) + margin - top;
  svg.setAttribute("viewBox", `${left} ${top} ${width} ${height}`);
  svg.classList.add("framed"); // until then nothing of it is seen
}

export function pointerPlace(svg, event) {
  const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  return [point.x, point.y];
}

// Drag with a pointer: `start()` returns what a movement by (dx, dy) millimetres does.
export function draggable(svg, element, start) {
  element.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    event.preventDefault();
    const from = pointerPlace(svg, event);
    const move = start(from);
    svg.classList.add("dragging");
    element.setPointerCapture(event.pointerId);
    const moving = (e) => move(pointerPlace(svg, e), from);
    const end = () => {
      element.removeEventListener("pointermove", moving);
      svg.classList.remove("dragging");
    };
    element.addEventListener("pointermove", moving);
    element.addEventListener("pointerup", end, { once: true });
    element.addEventListener("pointercancel", end, { once: true });
  });
}

const angle = ([x, y], [cx, cy]) => Math.atan2(y - cy, x - cx);

// Turn from one place to another about a centre, in degrees, the short way.
export function turned(from, to, centre) {
  const turn = ((angle(to, centre) - angle(from, centre)) * 180) / Math.PI;
  return ((turn + 540) % 360) - 180;
}
