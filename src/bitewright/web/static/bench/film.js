// The film: small while a hand moves, whole when it rests.
import { BYTES, greys, paint } from "../paint.js";
import { hide, say } from "./changed.js";
import { leaveKept } from "./looks.js";
import { gone, shown } from "./shown.js";

const canvas = document.getElementById("film");
const kind = document.getElementById("film-kind");
const stamp = document.getElementById("film-stamp");
const kept = document.getElementById("kept");
const SIXTEEN_BITS = greys(65536, (level) => (level / 257) | 0);

// Nothing on show, and why; what is known of an older setting comes too late.
export function blank(why, seq = 0) {
  if (seq && seq < onShow()) return;
  canvas.getContext("2d").clearRect(0, 0, canvas.width, canvas.height);
  canvas.dataset.kind = "none";
  hide(stamp, true);
  canvas.setAttribute("aria-label", why);
  say(kind, why);
  if (seq === 0) {
    gone("film");
    return;
  }
  canvas.dataset.seq = seq;
  shown("film", seq);
}

const onShow = () => Number(canvas.dataset.seq ?? 0);

export function paintSmall({ seq, rows, columns, pixels }) {
  // A small film that comes late does not replace the whole one of the same exposure.
  if (seq < onShow() || (canvas.dataset.kind !== "preview" && seq === onShow())) return;
  paint(canvas, pixels, columns, rows, BYTES);
  canvas.dataset.seq = seq;
  canvas.dataset.kind = "preview";
  hide(stamp, false);
  shown("film", seq);
  say(kind, "preview, without noise and bone texture");
}

export function paintFull(seq, pixels, columns, rows, pixelMm) {
  paint(canvas, pixels, columns, rows, SIXTEEN_BITS);
  canvas.dataset.seq = seq;
  canvas.dataset.kind = "full";
  hide(stamp, false);
  shown("film", seq);
  kind.textContent = `full, ${columns} × ${rows} of ${pixelMm} mm`;
}

export function describe(text) {
  if (canvas.dataset.kind !== "none") canvas.setAttribute("aria-label", `Simulated film of this exposure. ${text}`);
}

export function keepBeside(text) {
  const beside = document.getElementById("kept-film");
  beside.width = canvas.width;
  beside.height = canvas.height;
  beside.getContext("2d").drawImage(canvas, 0, 0);
  beside.setAttribute("aria-label", `Simulated film kept beside. ${text}`);
  document.getElementById("kept-words").textContent = text;
  showKept(true);
}

export function forgetKept() {
  leaveKept();
  showKept(false);
}

function showKept(shown) {
  kept.hidden = !shown;
  kept.parentElement.classList.toggle("two", shown);
}
