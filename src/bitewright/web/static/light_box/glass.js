// The magnifier: the film about a place, with a cross on it, the marks beside it, and nine fields for the keyboard.
import { view } from "./viewer.js";

const glass = document.getElementById("glass");
const stage = document.getElementById("stage");
const picture = document.getElementById("picture");
const SIZE_PX = 180;
const AWAY_PX = 34; // so that a finger does not lie on it
const MARK = "#ffd479";

const pen = glass.getContext("2d");

export function close() {
  glass.hidden = true;
}

// Show `at` [pixels of the film] enlarged so that `across` pixels of it fill the glass.
// `marks`: places of marks; `grid`: half the side of the nine fields, or null.
export function open({ at, across, marks = [], grid = null }) {
  const zoom = SIZE_PX / across;
  pen.imageSmoothingEnabled = zoom < 4;
  pen.fillStyle = "#000";
  pen.fillRect(0, 0, SIZE_PX, SIZE_PX);
  pen.drawImage(picture, at[0] - across / 2, at[1] - across / 2, across, across, 0, 0, SIZE_PX, SIZE_PX);
  const inGlass = ([x, y]) => [(x - at[0]) * zoom + SIZE_PX / 2, (y - at[1]) * zoom + SIZE_PX / 2];
  for (const place of marks) ring(inGlass(place));
  if (grid) fields(grid * zoom);
  else cross();
  stand([view.x + at[0] * view.scale, view.y + at[1] * view.scale]);
  glass.hidden = false;
}

function stand([px, py]) {
  const left = px > stage.clientWidth / 2 ? px - SIZE_PX - AWAY_PX : px + AWAY_PX;
  const top = py > SIZE_PX + AWAY_PX ? py - SIZE_PX - AWAY_PX : py + AWAY_PX;
  const within = (value, most) => Math.max(4, Math.min(value, most - SIZE_PX - 8));
  glass.style.left = `${within(left, stage.clientWidth)}px`;
  glass.style.top = `${within(top, stage.clientHeight)}px`;
}

function stroke(colour, width, draw) {
  for (const [ink, wide] of [["#000", width + 2], [colour, width]]) {
    pen.strokeStyle = ink;
    pen.lineWidth = wide;
    pen.beginPath();
    draw();
    pen.stroke();
  }
}

function ring([x, y]) {
  if (Math.min(x, y) < 0 || Math.max(x, y) > SIZE_PX) return;
  stroke(MARK, 1.2, () => pen.arc(x, y, 5, 0, 7));
}

function cross() {
  const c = SIZE_PX / 2;
  stroke("#fff", 1, () => {
    for (const [a, b] of [[4, 16], [-16, -4]]) {
      pen.moveTo(c + a, c);
      pen.lineTo(c + b, c);
      pen.moveTo(c, c + a);
      pen.lineTo(c, c + b);
    }
  });
}

// Nine fields, as on the keys of a number pad.
function fields(half) {
  const c = SIZE_PX / 2, third = (2 * half) / 3;
  stroke("#fff", 1, () => {
    for (const i of [0, 1, 2, 3]) {
      const along = c - half + i * third;
      pen.moveTo(along, c - half);
      pen.lineTo(along, c + half);
      pen.moveTo(c - half, along);
      pen.lineTo(c + half, along);
    }
  });
  pen.font = "600 13px sans-serif";
  pen.textAlign = "left";
  pen.textBaseline = "top";
  for (let digit = 1; digit <= 9; digit += 1) {
    const x = c - half + ((digit - 1) % 3) * third + 4, y = c + half - (Math.floor((digit - 1) / 3) + 1) * third + 3;
    pen.strokeStyle = "#000";
    pen.lineWidth = 3;
    pen.strokeText(digit, x, y);
    pen.fillStyle = "#fff";
    pen.fillText(digit, x, y);
  }
}
