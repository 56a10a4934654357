// The film on the stage: pan, zoom, window and level, invert, magnifier. Pixels are 16 bits.
import { BYTES, greys, paint } from "../paint.js";

const stage = document.getElementById("stage");
const plane = document.getElementById("plane");
const picture = document.getElementById("picture");
const overlay = document.getElementById("overlay");
const drawn = document.getElementById("marks");
const level = document.getElementById("level");
const width = document.getElementById("window");
const LARGEST = 24;

export const view = { columns: 0, rows: 0, scale: 1, x: 0, y: 0, inverted: false, pixels: null, bits: 8 };
let table = new Uint32Array(0);
let changed = () => {};
let developed = () => {};
export function onDevelop(act) {
  developed = act;
}

export function onMove(act) {
  changed = act;
}

// What was looked at closely on the film before is looked at on this one, at the same share of its width and height.
export function show(pixels, columns, rows, bits) {
  const before = view.columns && { zoom: view.scale / fitting(), at: shareOfMiddle() };
  Object.assign(view, { pixels, columns, rows, bits });
  drawn.setAttribute("viewBox", `0 0 ${columns} ${rows}`); // on paper the film is as wide as its column
  level.value = 50;
  width.value = 100;
  draw();
  if (before && Math.abs(before.zoom - 1) > 0.01) look(fitting() * before.zoom, before.at);
  else fit();
}

const fitting = () => Math.min(stage.clientWidth / view.columns, stage.clientHeight / view.rows);
export const isFit = () => view.columns > 0 && view.scale < 1.05 * fitting();

// The place of the film in the middle of the stage, as shares of its width and height.
export const shareOfMiddle = () => [
  (stage.clientWidth / 2 - view.x) / (view.scale * view.columns),
  (stage.clientHeight / 2 - view.y) / (view.scale * view.rows),
];

export function look(scale, [across, down]) {
  view.scale = Math.min(LARGEST, Math.max(0.05, scale));
  view.x = stage.clientWidth / 2 - across * view.scale * view.columns;
  view.y = stage.clientHeight / 2 - down * view.scale * view.rows;
  place();
}

// Window and level by a table of all grey levels, then one pass.
export function draw() {
  if (!view.pixels) return;
  table = tableFor(view.bits, table);
  paint(picture, view.pixels, view.columns, view.rows, table);
  developed();
}

// The grey that each of so many bits' levels is shown in.
export function tableFor(bits, given = new Uint32Array(0)) {
  const most = 2 ** bits - 1;
  const span = Math.max(1, (most * Number(width.value)) / 100);
  const low = (most * Number(level.value)) / 100 - span / 2;
  const made = given.length === most + 1 ? given : new Uint32Array(most + 1);
  return greys(
    most + 1,
    (value) => {
      const grey = Math.max(0, Math.min(255, ((value - low) * 255) / span)) | 0;
      return view.inverted ? 255 - grey : grey;
    },
    made,
  );
}

function place() {
  plane.style.transform = `translate(${view.x}px, ${view.y}px) scale(${view.scale})`;
  plane.style.width = `${view.columns}px`;
  plane.style.height = `${view.rows}px`;
  plane.classList.toggle("near", view.scale > 3);
  changed();
}

export function fit() {
  if (!view.columns) return;
  look(fitting(), [0.5, 0.5]);
}

export function zoomAt([px, py], factor) {
  const next = Math.min(LARGEST, Math.max(0.05, view.scale * factor));
  view.x = px - ((px - view.x) * next) / view.scale;
  view.y = py - ((py - view.y) * next) / view.scale;
  view.scale = next;
  place();
}

export function trueSize() {
  zoomAt([stage.clientWidth / 2, stage.clientHeight / 2], 1 / view.scale);
}

export function pan(dx, dy) {
  view.x += dx;
  view.y += dy;
  place();
}

// Bring a place of the film into sight: just so, or to the middle.
export function reveal([x, y], toMiddle = false) {
  const px = view.x + x * view.scale, py = view.y + y * view.scale, edge = 40;
  const dx = px < edge ? edge - px : px > stage.clientWidth - edge ? stage.clientWidth - edge - px : 0;
  const dy = py < edge ? edge - py : py > stage.clientHeight - edge ? stage.clientHeight - edge - py : 0;
  if (!dx && !dy) return;
  if (toMiddle) pan(stage.clientWidth / 2 - px, stage.clientHeight / 2 - py);
  else pan(dx, dy);
}

export function filmPlace(event) {
  const box = stage.getBoundingClientRect();
  return [(event.clientX - box.left - view.x) / view.scale, (event.clientY - box.top - view.y) / view.scale];
}

export const onStage = ([x, y]) => [view.x + x * view.scale, view.y + y * view.scale];

export const stagePlace = (event) => {
  const box = stage.getBoundingClientRect();
  return [event.clientX - box.left, event.clientY - box.top];
};

export function invert() {
  view.inverted = !view.inverted;
  draw();
  return view.inverted;
}

// A small film of millimetres laid over the middle of this one.
export function layOver(pixels, columns, rows, [widthMm, heightMm], pixelMm) {
  const across = Math.round(widthMm / pixelMm), down = Math.round(heightMm / pixelMm);
  const small = new OffscreenCanvas(columns, rows);
  paint(small, pixels, columns, rows, BYTES);
  overlay.width = view.columns;
  overlay.height = view.rows;
  overlay.getContext("2d").drawImage(small, (view.columns - across) / 2, (view.rows - down) / 2, across, down);
}

export function blend(share, difference) {
  overlay.hidden = !difference && share === 0;
  overlay.parentElement.classList.toggle("stamped", !overlay.hidden);
  overlay.style.opacity = difference ? 1 : share;
  overlay.classList.toggle("difference", difference);
}

level.addEventListener("input", draw);
width.addEventListener("input", draw);
addEventListener("resize", fit);
