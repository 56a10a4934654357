// The stage under a hand: drag to pan, wheel to zoom, click to place; the same by keys.
import * as marks from "./marks.js";
import * as viewer from "./viewer.js";

const stage = document.getElementById("stage");
const magnifier = document.getElementById("magnify");

export function handle({ hasFilm, place }) {
  let grabbed = null;
  stage.addEventListener("pointerdown", (event) => {
    if (!hasFilm()) return;
    stage.focus();
    grabbed = { at: [event.clientX, event.clientY], moved: false };
    stage.setPointerCapture(event.pointerId);
  });
  stage.addEventListener("pointermove", (event) => {
    if (hasFilm() && magnifier.getAttribute("aria-pressed") === "true") viewer.magnify(event);
    if (!grabbed) return;
    const dx = event.clientX - grabbed.at[0], dy = event.clientY - grabbed.at[1];
    if (!grabbed.moved && Math.hypot(dx, dy) < 4) return;
    grabbed.moved = true;
    grabbed.at = [event.clientX, event.clientY];
    viewer.pan(dx, dy);
  });
  stage.addEventListener("pointerup", (event) => {
    if (grabbed && !grabbed.moved) place(viewer.filmPlace(event), event);
    grabbed = null;
  });
  stage.addEventListener("pointercancel", () => (grabbed = null));
  stage.addEventListener(
    "wheel",
    (event) => {
      event.preventDefault();
      viewer.zoomAt(viewer.stagePlace(event), Math.exp(-event.deltaY / 400));
    },
    { passive: false },
  );
  stage.addEventListener("keydown", (event) => {
    if (!hasFilm()) return;
    const step = event.shiftKey ? 20 : 2;
    const ways = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] };
    const middle = [stage.clientWidth / 2, stage.clientHeight / 2];
    if (ways[event.key]) marks.moveCross(...ways[event.key]);
    else if (event.key === "Enter" && event.target === stage) place([marks.at.x, marks.at.y]);
    else if (event.key === "+" || event.key === "=") viewer.zoomAt(middle, 1.25);
    else if (event.key === "Escape") document.getElementById("view").focus();
    else if (event.key === "-") viewer.zoomAt(middle, 0.8);
    else return;
    event.preventDefault();
  });
}
