// The three drawings: from above, from the front along the row, and as the tube sees it.
import { say, set } from "./changed.js";
import { draggable, draw, fit, make, path, turned, words } from "./svg.js";

const above = document.getElementById("above");
const row = document.getElementById("row");
const side = document.getElementById("side");
const FAN_MM = 17;
let still = null;
let parts = null;
let present = null;
let stays = {};

const dot = (a, b) => a[0] * b[0] + a[1] * b[1];
const cross = (a, b) => a[0] * b[1] - a[1] * b[0];

// Draw what stays, and make the moving parts ready. `hand` reads and sets the numbers.
export function lay(drawing, hand) {
  still = drawing;
  parts = { fans: new Map(), above: {}, row: {}, side: {}, ghost: {} };
  for (const svg of [above, row, side]) svg.replaceChildren();
  layAbove(hand);
  layRow(hand);
  laySide(hand);
}

function layAbove(hand) {
  for (const lower of [true, false]) {
    for (const tooth of still.teeth.filter((t) => t.lower === lower)) {
      const kind = `tooth ${lower ? "lower" : "upper"}${tooth.own ? "" : " other"}`;
      make("path", { d: path(tooth.outline), class: kind }, above);
    }
  }
  parts.fanLayer = make("g", {}, above);
  for (const tooth of still.teeth) {
    if (tooth.own && !tooth.lower) words(above, String(tooth.code), tooth.middle, "code bright");
  }
  const p = parts.above;
  p.ghost = make("path", { class: "ghost" }, above);
  p.beam = make("path", { class: "beam" }, above);
  p.ray = make("path", { class: "ray" }, above);
  p.casing = make("path", { class: "casing" }, above);
  p.active = make("path", { class: "active" }, above);
  p.turner = make("circle", { class: "turner", r: 1.6 }, above);
  p.tube = make("path", { class: "tube" }, above);
  title(p.casing, "Receptor: drag along the row and across");
  title(p.turner, "Front end of the receptor: drag to turn it");
  title(p.tube, "Tube: drag to swing it about the receptor");
  draggable(above, p.casing, () => {
    const from = { forward: hand.value("forward_mm"), space: hand.value("lingual_mm") };
    return ([x, y], [x0, y0]) => {
      const moved = [x - x0, y - y0];
      const values = { forward_mm: from.forward + dot(moved, still.front) };
      const across = dot(moved, still.tongue);
      if (Math.abs(across) > 1) values.lingual_mm = Math.max(1, from.space + across);
      hand.set(values);
    };
  });
  draggable(above, p.turner, () => {
    const from = hand.value("turn_deg"), centre = present.above.middle;
    const sign = Math.sign(cross(still.front, still.tongue));
    return (at, start) => hand.set({ turn_deg: from + sign * turned(start, at, centre) });
  });
  draggable(above, p.tube, () => {
    const from = hand.value("ring_offset_deg"), centre = present.above.middle;
    const sign = Math.sign(cross(still.front, still.tongue));
    return (at, start) => hand.set({ ring_offset_deg: from + sign * turned(start, at, centre) });
  });
}

function layRow(hand) {
  const p = parts.row;
  p.level = make("path", { class: "level" }, row);
  p.palate = make("path", { class: "palate" }, row);
  p.floor = make("path", { class: "floor" }, row);
  p.teeth = [make("path", { class: "tooth upper" }, row), make("path", { class: "tooth lower" }, row)];
  p.beam = make("path", { class: "beam" }, row);
  p.ray = make("path", { class: "ray" }, row);
  p.casing = make("path", { class: "casing" }, row);
  p.active = make("path", { class: "active" }, row);
  p.tube = make("path", { class: "tube" }, row);
  p.palateWords = words(row, "palate", [0, 0]);
  p.floorWords = words(row, "floor", [0, 0]);
  title(p.tube, "Tube: drag up or down");
  title(p.casing, "Receptor: drag up, down and across");
  const outward = still.front_sign > 0 ? -1 : 1;
  draggable(row, p.tube, () => {
    const from = hand.value("vertical_deg"), centre = present.row.middle;
    return (at, start) => hand.set({ vertical_deg: from - outward * turned(start, at, centre) });
  });
  draggable(row, p.casing, () => {
    const from = { height: hand.value("height_mm"), space: hand.value("lingual_mm") };
    return ([x, y], [x0, y0]) => {
      const values = { height_mm: from.height - (y - y0) };
      const across = -outward * (x - x0);
      if (Math.abs(across) > 1) values.lingual_mm = Math.max(1, from.space + across);
      hand.set(values);
    };
  });
}

function laySide(hand) {
  const p = parts.side;
  p.teeth = make("g", {}, side);
  p.ghost = make("path", { class: "ghost" }, side);
  p.casing = make("path", { class: "casing" }, side);
  p.active = make("path", { class: "active" }, side);
  p.front = words(side, "", [0, 0]);
  title(p.casing, "Receptor: drag forward, back, up and down");
  draggable(side, p.casing, () => {
    const from = { forward: hand.value("forward_mm"), height: hand.value("height_mm") };
    return ([x, y], [x0, y0]) =>
      hand.set({ forward_mm: from.forward + still.front_sign * (x - x0), height_mm: from.height - (y - y0) });
  });
}

function title(element, text) {
  make("title", {}, element).textContent = text;
}

// One exposure into all three drawings. What stays while the receptor does comes only when it changed.
export function show(moves, changed, asked) {
  if (parts === null) return;
  const first = present === null;
  stays = { ...stays, ...changed };
  const { row: rowStays, side: sideStays } = stays.seated;
  present = { ...moves, row: { ...moves.row, ...rowStays }, side: { ...moves.side, ...sideStays } };
  drawAbove(moves.above);
  for (const fan of changed.fans ?? []) drawFan(fan);
  light(moves.beam_in_fan, asked);
  laid(parts.row, moves.row, false);
  receptorBeside(moves.side);
  if (changed.seated) {
    drawRow(rowStays);
    drawSide(sideStays);
  }
  level(present.row);
  if (first) frame(present);
}

export function frame(drawing) {
  if (still === null) return;
  const teeth = still.teeth.flatMap((t) => t.outline);
  const tube = drawing.above.tube;
  fit(above, [...teeth, ...tube, ...drawing.above.casing], 3);
  fit(row, [...drawing.row.palate, ...drawing.row.floor, ...drawing.row.tube.slice(0, 2), ...drawing.row.casing], 4);
  fit(side, [...drawing.side.casing, ...drawing.side.teeth.flatMap((t) => t.outline)], 3);
}

export function forget() {
  present = parts = still = null;
  stays = {};
  for (const svg of [above, row, side]) svg.replaceChildren();
}

function laid(p, drawn, open) {
  draw(p.beam, path([drawn.beam[0][0], drawn.beam[0][1], drawn.beam[1][1], drawn.beam[1][0]]));
  draw(p.ray, path(drawn.ray, false));
  draw(p.casing, path(drawn.casing));
  draw(p.active, path(drawn.active, open));
  draw(p.tube, path(drawn.tube));
}

// A fan is drawn anew as it changes: with the vertical angle and the mandible's opening.
function drawFan(fan) {
  let shape = parts.fans.get(fan.contact);
  if (!shape) {
    const own = still.teeth.some((t) => t.own && t.code === Number(fan.contact.split("-")[0]));
    shape = make("path", { class: `fan${fan.lower ? " lower" : ""}${own ? "" : " other"}`, "data-contact": fan.contact }, parts.fanLayer);
    title(shape, "");
    parts.fans.set(fan.contact, shape);
  }
  const reach = fan.lower ? FAN_MM - 4 : FAN_MM;
  const ends = fan.ways.map(([dx, dy]) => [fan.place[0] + reach * dx, fan.place[1] + reach * dy]);
  draw(shape, ends.length ? path([fan.place, ...ends]) : "");
  say(shape.firstChild, fan.ways.length
    ? `${fan.contact}: open from ${fan.low_deg.toFixed(0)} to ${fan.high_deg.toFixed(0)} degrees`
    : `${fan.contact}: open from nowhere (least overlap ${fan.least_overlap_mm.toFixed(2)} mm)`);
}

// Lit where the beam lies in it, and stronger where the view asks for its contact.
function light(lit, asked) {
  for (const [contact, shape] of parts.fans) {
    shape.classList.toggle("lit", lit[contact]);
    shape.classList.toggle("asked", asked.has(contact));
  }
}

function drawAbove(drawn) {
  laid(parts.above, drawn, false);
  const [x, y] = drawn.casing[1].map((v, k) => 0.5 * (v + drawn.casing[2][k]));
  set(parts.above.turner, "cx", x);
  set(parts.above.turner, "cy", y);
}

// The line of the bite, from the palate to the tube.
function level({ palate, tube }) {
  draw(parts.row.level, path([[palate[0][0], 0], [tube[2][0], 0]], false));
}

function drawRow(drawn) {
  const p = parts.row;
  draw(p.palate, path(drawn.palate, false));
  draw(p.floor, path(drawn.floor, false));
  const top = drawn.palate[Math.floor(drawn.palate.length / 2)], low = drawn.floor[Math.floor(drawn.floor.length / 2)];
  place(p.palateWords, [top[0], top[1] - 1.5]);
  place(p.floorWords, [low[0], low[1] + 4]);
  for (const [k, shape] of p.teeth.entries()) {
    const tooth = drawn.teeth.find((t) => t.lower === Boolean(k));
    draw(shape, tooth ? path(tooth.outline) : "");
  }
}

function receptorBeside(drawn) {
  draw(parts.side.casing, path(drawn.casing));
  draw(parts.side.active, path(drawn.active));
}

function drawSide(drawn) {
  const p = parts.side;
  if (p.teeth.childElementCount !== 2 * drawn.teeth.length) {
    p.teeth.replaceChildren();
    for (const tooth of drawn.teeth) {
      make("path", { class: `tooth ${tooth.lower ? "lower" : "upper"}` }, p.teeth);
      words(p.teeth, String(tooth.code), [0, 0], "code bright");
    }
  }
  drawn.teeth.forEach((tooth, k) => {
    draw(p.teeth.children[2 * k], path(tooth.outline));
    const n = tooth.outline.length;
    place(p.teeth.children[2 * k + 1], [0, 1].map((c) => tooth.outline.reduce((sum, q) => sum + q[c], 0) / n));
  });
}

function place(text, [x, y]) {
  set(text, "x", x);
  set(text, "y", y);
}

// The planned receptor and tube as a dashed ghost; null takes it away.
export function ghost(drawing) {
  if (parts === null) return;
  const on = (p, drawn) => draw(p.ghost, drawn ? drawn.map((d) => path(d)).join("") : "");
  on(parts.above, drawing && [drawing.above.casing, drawing.above.tube]);
  on(parts.side, drawing && [drawing.side.casing]);
}
