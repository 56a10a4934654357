// Film, drawings and figures on show: each greyed and labelled when it is of an earlier setting.
import { Belonging } from "./belonging.js";
import { hide } from "./changed.js";

const LOOK_MS = 50;
const things = Object.fromEntries(
  ["film", "state"].map((name) => [name, { of: new Belonging(), places: [...document.querySelectorAll(`[data-belongs="${name}"]`)] }]),
);
let looking = 0;
for (const { of } of Object.values(things)) of.gone(); // until the first of each is there

export function wished(seq) {
  const now = performance.now();
  for (const { of } of Object.values(things)) of.wished(seq, now);
  lookSoon();
}

export function shown(name, seq) {
  things[name].of.shown(seq);
  mark(things[name]);
}

export function gone(name) {
  things[name].of.gone();
  mark(things[name]);
}

export const isCurrent = (name) => things[name].of.isCurrent;

function look() {
  looking = 0;
  for (const thing of Object.values(things)) mark(thing);
  if (Object.values(things).some(({ of, isGrey }) => isGrey || !of.isCurrent)) lookSoon();
}

function lookSoon() {
  looking ||= setTimeout(look, LOOK_MS);
}

function mark(thing) {
  const old = (thing.isGrey = thing.of.isOld(performance.now()));
  for (const place of thing.places) {
    if (place.classList.contains("old") === old) continue;
    place.classList.toggle("old", old);
    for (const word of place.querySelectorAll(".old-word")) hide(word, !old);
  }
}
