// The drawing from above: tube and receptor moved by hand or by sliders, and as they stood.
import { draggable, fit, make, path, turned, words } from "../bench/svg.js";

const by = (id) => document.getElementById(id);
const rotated = ([x, y], [cx, cy], deg) => {
  const a = (deg * Math.PI) / 180, c = Math.cos(a), s = Math.sin(a);
  return [cx + c * (x - cx) - s * (y - cy), cy + s * (x - cx) + c * (y - cy)];
};
const middleOf = (places) => [0, 1].map((k) => places.reduce((sum, place) => sum + place[k], 0) / places.length);

// The front of the mouth is at the top; along the row is the casing's long side, towards the front.
function forwardOf(laid) {
  const [one, other] = laid.casing;
  const way = [other[0] - one[0], other[1] - one[1]], length = Math.hypot(...way), up = way[1] < 0 ? 1 : -1;
  return way.map((part) => (up * part) / length);
}

// Turning by a positive angle runs clockwise on the screen; the sign that takes the tube to the front.
function frontTurn(laid) {
  const [tx, ty] = middleOf(laid.tube), [cx, cy] = laid.middle;
  const [fx, fy] = forwardOf(laid);
  return -(ty - cy) * fx + (tx - cx) * fy > 0 ? 1 : -1;
}

function moved(laid, swing, forward) {
  const way = forwardOf(laid), turn = frontTurn(laid);
  const shift = ([x, y]) => [x + forward * way[0], y + forward * way[1]];
  const swung = (place) => shift(rotated(place, laid.middle, turn * swing));
  return { casing: laid.casing.map(shift), tube: laid.tube.map(swung), ray: laid.ray.map(swung), middle: shift(laid.middle) };
}

function teethOn(svg, teeth) {
  for (const tooth of teeth) {
    make("path", { d: path(tooth.outline), class: "tooth" }, svg);
    words(svg, tooth.code, middleOf(tooth.outline), "number");
  }
}

function group(svg, kind) {
  const held = make("g", { class: kind }, svg);
  return { ray: make("path", { class: "ray" }, held), tube: make("path", { class: "tube" }, held), casing: make("path", { class: "casing" }, held) };
}

function drawAt(shapes, laid) {
  if (laid.tube.length) {
    shapes.ray.setAttribute("d", path(laid.ray, false));
    shapes.tube.setAttribute("d", path(laid.tube));
  }
  shapes.casing.setAttribute("d", path(laid.casing));
}

const saidDeg = (value) => (value ? `${Math.abs(value)}° to the ${value > 0 ? "front" : "back"}` : "not moved");
const saidMm = (value) => (value ? `${Math.abs(value)} mm to the ${value > 0 ? "front" : "back"}` : "not moved");

export function mover({ teeth, neutral }, tell) {
  const svg = by("drawing");
  svg.replaceChildren();
  teethOn(svg, teeth);
  const shapes = group(svg, "neutral");
  const reach = [-30, 30].flatMap((swing) => moved(neutral, swing, 0).tube);
  fit(svg, [...teeth.flatMap((tooth) => tooth.outline), ...reach, ...moved(neutral, 0, -8).casing], 4);
  const redraw = () => {
    const swing = Number(by("swing").value), forward = Number(by("forward").value);
    drawAt(shapes, moved(neutral, swing, forward));
    by("swing-said").textContent = saidDeg(swing);
    by("forward-said").textContent = saidMm(forward);
    return { swing_deg: swing, forward_mm: forward };
  };
  for (const name of ["swing", "forward"]) {
    by(name).value = 0;
    by(name).oninput = () => tell(redraw());
  }
  draggable(svg, shapes.tube, () => {
    const from = Number(by("swing").value), at = moved(neutral, 0, Number(by("forward").value)).middle;
    return (to, start) => {
      by("swing").value = from + frontTurn(neutral) * turned(start, to, at);
      tell(redraw());
    };
  });
  draggable(svg, shapes.casing, () => {
    const from = Number(by("forward").value), way = forwardOf(neutral);
    return (to, start) => {
      by("forward").value = from + (to[0] - start[0]) * way[0] + (to[1] - start[1]) * way[1];
      tell(redraw());
    };
  });
  redraw();
}

export function after(svg, drawing) {
  svg.replaceChildren();
  teethOn(svg, drawing.teeth);
  const shown = ["best", "was", "yours"].filter((name) => drawing[name]);
  for (const name of shown) drawAt(group(svg, name), drawing[name]);
  fit(svg, [...drawing.teeth.flatMap((tooth) => tooth.outline), ...shown.flatMap((name) => [...drawing[name].tube, ...drawing[name].casing])], 4);
}
