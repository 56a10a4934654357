// The stage under a hand. A mouse: click to place, drag to pan, wheel to zoom. A finger: put down and slide to aim,
// lift to place; two fingers pan and zoom. A mark that lies there already is taken by a deliberate drag only.
import * as marks from "./marks.js";
import * as viewer from "./viewer.js";

const stage = document.getElementById("stage");
const CLICK_PX = 4; // a click may tremble so far
const TAKE_PX = 6; // and to take a mark, the hand must mean it
const REACH_PX = { mouse: 8, touch: 14, pen: 10 };
const TOUCH_PX = 10;

const ways = (step) => ({ ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] });
const middle = () => [stage.clientWidth / 2, stage.clientHeight / 2];
export const zoomIn = () => viewer.zoomAt(middle(), 1.25);
export const zoomOut = () => viewer.zoomAt(middle(), 0.8);

// `isWanted()`: a mark is asked for; `hover(event)`: a pointer is over the film, null when it left;
// `dropped(name, at, event)`: a mark was dragged to `at`; `place(at, event)`. `arrow(dx, dy)`: an arrow key, else the
// cross is moved; `leave()`: Escape.
export function handle({ hasFilm, isWanted, place, hover, dropped, moved, arrow = marks.moveCross, leave = () => document.getElementById("view").focus() }) {
  const down = new Map();
  let act = null;
  const brokenOff = () => {
    marks.release();
    moved();
  };

  const begin = (event) => {
    const name = marks.nearest(viewer.stagePlace(event), REACH_PX[event.pointerType] ?? REACH_PX.mouse);
    const isTouch = event.pointerType === "touch";
    // While a mark is wanted a finger aims it, unless it is on the mark in focus.
    const aims = isTouch && isWanted() && !(name && marks.isFocused(name));
    act = { kind: aims ? "aim" : "press", name, isTouch, from: [event.clientX, event.clientY], last: [event.clientX, event.clientY] };
    if (aims) hover(event);
  };

  stage.addEventListener("mousedown", (event) => event.preventDefault()); // focus goes where we say, not to the mark under the pointer
  stage.addEventListener("pointerdown", (event) => {
    if (!hasFilm() || event.button > 0) return;
    down.set(event.pointerId, [event.clientX, event.clientY]);
    stage.setPointerCapture(event.pointerId);
    if (down.size === 2) {
      if (act?.kind === "drag") brokenOff();
      act = { kind: "pinch" };
      hover(null);
      return;
    }
    if (down.size > 1) return;
    begin(event);
    if (!(act.name && marks.isFocused(act.name))) stage.focus({ preventScroll: true });
  });

  const pinch = (event) => {
    const before = [...down.values()];
    down.set(event.pointerId, [event.clientX, event.clientY]);
    const after = [...down.values()];
    if (after.length !== 2) return;
    const [from, to] = [before, after].map(([a, b]) => ({ x: (a[0] + b[0]) / 2, y: (a[1] + b[1]) / 2, apart: Math.hypot(a[0] - b[0], a[1] - b[1]) }));
    viewer.pan(to.x - from.x, to.y - from.y);
    if (from.apart > 0) viewer.zoomAt(viewer.stagePlace({ clientX: to.x, clientY: to.y }), to.apart / from.apart);
  };

  stage.addEventListener("pointermove", (event) => {
    if (!hasFilm()) return;
    if (act?.kind === "pinch") {
      if (down.has(event.pointerId)) pinch(event);
      return;
    }
    if (!act || act.kind === "aim") {
      hover(event);
      return;
    }
    if (act.kind === "press") {
      const far = Math.hypot(event.clientX - act.from[0], event.clientY - act.from[1]);
      if (far < (act.isTouch ? TOUCH_PX : act.name ? TAKE_PX : CLICK_PX)) return;
      act.kind = act.name ? "drag" : "pan";
      hover(null);
      if (act.kind === "drag") marks.take(act.name);
    }
    const step = [event.clientX - act.last[0], event.clientY - act.last[1]];
    act.last = [event.clientX, event.clientY];
    if (act.kind === "drag") marks.carry(act.name, step);
    else viewer.pan(...step);
  });

  stage.addEventListener("pointerup", (event) => {
    if (!down.delete(event.pointerId)) return;
    const done = act;
    if (down.size) return;
    act = null;
    if (event.pointerType === "touch") hover(null);
    if (done?.kind === "drag") {
      marks.release();
      dropped(done.name, marks.placeOf(done.name), event);
    }
    if (done?.kind === "aim") place(viewer.filmPlace(event), event);
    if (done?.kind === "press") {
      if (done.name && !isWanted()) marks.focus(done.name);
      else place(viewer.filmPlace(event), event);
    }
  });
  stage.addEventListener("pointercancel", (event) => {
    down.delete(event.pointerId);
    if (act?.kind === "drag") brokenOff();
    if (!down.size) act = null;
    hover(null);
  });
  stage.addEventListener("pointerleave", () => !act && hover(null));
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
    const way = ways(event.shiftKey ? 20 : 2)[event.key];
    if (way) arrow(...way);
    else if (event.key === "Enter" && event.target === stage) place([marks.at.x, marks.at.y]);
    else if (event.key === "+" || event.key === "=") zoomIn();
    else if (event.key === "-") zoomOut();
    else if (event.key === "Escape") leave();
    else return;
    event.preventDefault();
  });
}
