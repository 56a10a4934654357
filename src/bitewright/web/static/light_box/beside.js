// A second film beside the one on the stage: the same place and size in the mouth, zoomed and moved together.
import { paint } from "../paint.js";
import * as viewer from "./viewer.js";

const stage = document.getElementById("beside-stage");
const plane = document.getElementById("beside-plane");
const canvas = document.getElementById("beside-picture");
const drawn = document.getElementById("beside-marks");
const label = document.getElementById("beside-name");
const SPACE = "http://www.w3.org/2000/svg";
let film = null;
let picture = null;
let mmOfMain = null;

export const isShown = () => film !== null;

// Which place of this film lies where a place of the other one does, both in pixels: else the same share of both.
let placeOf = ([x, y]) => [(x / viewer.view.columns) * picture.columns, (y / viewer.view.rows) * picture.rows];
export function placedBy(act) {
  placeOf = act;
}

// The films that may lie beside; one that is among them no more is taken from its place in the list.
export function offer(films) {
  const list = document.getElementById("beside");
  const now = list.value;
  list.replaceChildren(new Option("no film", ""), ...films.map((f) => new Option(`${f.label}, ${f.visit}`, f.id)));
  list.value = films.some((f) => String(f.id) === now) ? now : "";
}

// `mm`: size of a pixel of the film on the stage; null where nothing tells.
export function show(of, pixels, mm) {
  [film, picture, mmOfMain] = [of, pixels, mm];
  stage.hidden = film === null;
  label.textContent = film?.label ?? "";
  if (!film) return;
  canvas.setAttribute("aria-label", `Film ${film.label}, beside`);
  drawMarks();
  develop();
  follow();
}

// The same level and window as on the stage, of its own grey levels.
export function develop() {
  if (film) paint(canvas, picture.pixels, picture.columns, picture.rows, viewer.tableFor(picture.bits));
}

function drawMarks() {
  drawn.setAttribute("viewBox", `0 0 ${picture.columns} ${picture.rows}`);
  drawn.replaceChildren(
    ...Object.entries(film.marks.marks ?? {})
      .filter(([, mark]) => mark.x_px !== undefined)
      .map(([name, mark]) => {
        const circle = document.createElementNS(SPACE, "circle");
        for (const [key, value] of Object.entries({ cx: mark.x_px, cy: mark.y_px, r: 3, class: `beside-mark ${name.split(".").at(-1)} ${mark.state ?? ""}` })) circle.setAttribute(key, value);
        return circle;
      }),
  );
}

// As large as the other one: by millimetres where both films tell theirs, else by the films' widths.
export function follow() {
  if (!film) return;
  const mm = film.marks.pixel_mm ?? film.pixel_mm;
  const scale = mm && mmOfMain ? (viewer.view.scale * mm) / mmOfMain : (viewer.view.scale * viewer.view.columns) / picture.columns;
  const [across, down] = viewer.shareOfMiddle();
  const [middleX, middleY] = placeOf([across * viewer.view.columns, down * viewer.view.rows]);
  const x = stage.clientWidth / 2 - middleX * scale, y = stage.clientHeight / 2 - middleY * scale;
  plane.style.transform = `translate(${x}px, ${y}px) scale(${scale})`;
  Object.assign(plane.style, { width: `${picture.columns}px`, height: `${picture.rows}px` });
}

let last = null;
stage.addEventListener("pointerdown", (event) => {
  last = [event.clientX, event.clientY];
  stage.setPointerCapture(event.pointerId);
});
stage.addEventListener("pointermove", (event) => {
  if (!last) return;
  viewer.pan(event.clientX - last[0], event.clientY - last[1]);
  last = [event.clientX, event.clientY];
});
for (const name of ["pointerup", "pointercancel"]) stage.addEventListener(name, () => (last = null));
stage.addEventListener(
  "wheel",
  (event) => {
    event.preventDefault();
    const box = stage.getBoundingClientRect();
    viewer.zoomAt([event.clientX - box.left, event.clientY - box.top], Math.exp(-event.deltaY / 400));
  },
  { passive: false },
);
