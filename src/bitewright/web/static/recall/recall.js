// Both films beside each other on the light box's own viewer: moved, zoomed and developed together.
import { fetched } from "../fetched.js";
import * as beside from "../light_box/beside.js";
import { handle, zoomIn, zoomOut } from "../light_box/hands.js";
import * as viewer from "../light_box/viewer.js";
import { drawSites } from "./sites.js";

const by = (id) => document.getElementById(id);
const NEAR_PX_PER_MM = 45;
const [earlier, later] = JSON.parse(by("both").dataset.films).films;
const toggled = (button) => button.setAttribute("aria-pressed", String(button.getAttribute("aria-pressed") !== "true"));

// The later film lies so that what is marked on both lies at the same place, as near as a shift brings it.
const middle = (values) => {
  const sorted = [...values].sort((a, b) => a - b), half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
};
const larger = earlier.pixel_mm / later.pixel_mm;
const shift = [0, 1].map((k) => middle(earlier.common.map((at, n) => later.common[n][k] - larger * at[k])));
beside.placedBy((at) => at.map((value, k) => larger * value + shift[k]));

async function pixelsOf(id) {
  const answer = await fetched(`/light-box/films/${id}/pixels`);
  const head = (name) => Number(answer.headers.get(name));
  return { pixels: new Uint16Array(await answer.arrayBuffer()), columns: head("x-columns"), rows: head("x-rows"), bits: head("x-bits") };
}

const drawn = [];
const follow = () => {
  beside.follow();
  const scales = [viewer.view.scale, viewer.view.scale / larger];
  drawn.forEach((sites, place) => sites.size(scales[place]));
};
viewer.onMove(follow);
viewer.onDevelop(() => beside.develop());
handle({ hasFilm: () => viewer.view.columns > 0, isWanted: () => false, place() {}, hover() {}, dropped() {}, moved() {}, arrow: (dx, dy) => viewer.pan(-4 * dx, -4 * dy), leave: () => by("fit").focus() });

try {
  const pictures = await Promise.all([pixelsOf(earlier.id), pixelsOf(later.id)]);
  viewer.show(pictures[0].pixels, pictures[0].columns, pictures[0].rows, pictures[0].bits);
  beside.show({ label: later.title, pixel_mm: later.pixel_mm, marks: { pixel_mm: later.pixel_mm } }, pictures[1], earlier.pixel_mm);
  drawn.push(drawSites(by("marks"), earlier.sites, pictures[0].rows), drawSites(by("beside-marks"), later.sites, pictures[1].rows));
  viewer.fit();
} catch (error) {
  by("say").textContent = error.message;
}

const ACTS = { fit: viewer.fit, "zoom-in": zoomIn, "zoom-out": zoomOut, invert: (b) => b.setAttribute("aria-pressed", String(viewer.invert())), "show-sites": (b) => (toggled(b), by("both").classList.toggle("sites-off")) };
for (const [id, act] of Object.entries(ACTS)) by(id).addEventListener("click", (event) => act(event.currentTarget));
const KEYS = { f: "fit", i: "invert", s: "show-sites" };
addEventListener("keydown", (event) => {
  if (event.target.closest("input:not([type=range]), select, textarea, dialog") || event.ctrlKey || event.metaKey || event.altKey) return;
  const id = KEYS[event.key.toLowerCase()];
  if (id) by(id).click();
});

// A site from the table, near and in the middle of both.
for (const button of document.querySelectorAll("#sites [data-site]")) {
  button.addEventListener("click", () => {
    const site = earlier.sites.find((each) => each.name === button.dataset.site);
    const at = [0, 1].map((k) => (site.junction[k] + site.crest[k]) / 2);
    for (const sites of drawn) sites.light(site.name);
    viewer.look(NEAR_PX_PER_MM * earlier.pixel_mm, [at[0] / viewer.view.columns, at[1] / viewer.view.rows]);
    by("stage").scrollIntoView({ block: "nearest" });
  });
}
