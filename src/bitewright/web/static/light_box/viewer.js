// The film on the stage: pan, zoom, window and level, invert, magnifier. Pixels are 16 bits.
import { BYTES, greys, paint } from "../paint.js";

const stage = document.getElementById("stage");
const plane = document.getElementById("plane");
const picture = document.getElementById("picture");
const overlay = document.getElementById("overlay");
const drawn = document.getElementById("marks");
const glass = document.getElementById("glass");
const level = document.getElementById("level");
const width = document.getElementById("window");
const LARGEST = 24;
const GLASS_PX = 180;
const GLASS_ZOOM = 3;

export const view = { columns: 0, rows: 0, scale: 1, x: 0, y: 0, inverted: false, pixels: null, bits: 8 };
let table = new Uint32Array(0);
let changed = () => {};

export function onMove(act) {
  changed = act;
}

export function show(pixels, columns, rows, bits) {
  Object.assign(view, { pixels, columns, rows, bits });
  drawn.setAttribute("viewBox", `0 0 ${columns} ${rows}`); // on paper the film is as wide as its column
  level.value = 50;
  width.value = 100;
  draw();
  fit();
}

// Window and level by a table of all grey levels, then one pass.
export function draw() {
  if (!view.pixels) return;
  const most = 2 ** view.bits - 1;
  const span = Math.max(1, (most * Number(width.value)) / 100);
  const low = (most * Number(level.value)) / 100 - span / 2;
  if (table.length !== most + 1) table = new Uint32Array(most + 1);
  greys(
    most + 1,
    (value) => {
      const grey = Math.max(0, Math.min(255, ((value - low) * 255) / span)) | 0;
      return view.inverted ? 255 - grey : grey;
    },
    table,
  );
  paint(picture, view.pixels, view.columns, view.rows, table);
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
  view.scale = Math.min(stage.clientWidth / view.columns, stage.clientHeight / view.rows);
  view.x = (stage.clientWidth - view.scale * view.columns) / 2;
  view.y = (stage.clientHeight - view.scale * view.rows) / 2;
  place();
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

export const stagePlace = (event) => {
  const box = stage.getBoundingClientRect();
  return [event.clientX - box.left, event.clientY - box.top];
};

export function invert() {
  view.inverted = !view.inverted;
  draw();
  return view.inverted;
}

export function magnify(event) {
  const [x, y] = filmPlace(event), [px, py] = stagePlace(event);
  const size = GLASS_PX / (view.scale * GLASS_ZOOM);
  const pen = glass.getContext("2d");
  pen.imageSmoothingEnabled = view.scale * GLASS_ZOOM < 4;
  pen.fillRect(0, 0, GLASS_PX, GLASS_PX);
  pen.drawImage(picture, x - size / 2, y - size / 2, size, size, 0, 0, GLASS_PX, GLASS_PX);
  glass.style.left = `${Math.min(px + 16, stage.clientWidth - GLASS_PX - 4)}px`;
  glass.style.top = `${py > GLASS_PX + 30 ? py - GLASS_PX - 16 : py + 16}px`;
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
