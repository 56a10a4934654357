// Contact strip and criteria: the same words as the command line.
import { overlapWords } from "../overlap.js";
import { SIGNS } from "../signs.js";
import { hide, say, set } from "./changed.js";

const table = document.getElementById("contacts");
const body = table.querySelector("tbody");
const list = document.getElementById("criteria");
const grades = document.querySelectorAll(".grade");
const keptHead = document.getElementById("kept-head");
let kept = null;

// The exposure kept beside: its overlaps stand in a column of their own; null takes it away.
export function keep(state) {
  kept = state && new Map(state.contacts.map((c) => [c.contact, c]));
  keptHead.hidden = kept === null;
  table.classList.toggle("with-kept", kept !== null);
  if (state) show(state);
}

// What cannot be has no figures; its places stay, so that nothing jumps while a hand goes by.
export function refuse() {
  for (const row of body.children) {
    for (const cell of [...row.children].slice(1, 4)) cell.querySelector("span") ? blankState(cell.firstChild) : say(cell, "");
  }
  list.style.minHeight = `${list.getBoundingClientRect().height}px`;
  list.replaceChildren();
  for (const grade of grades) say(grade, "");
}

const blankState = (state) => [...state.children].forEach((part) => say(part, ""));

// Figures of nothing are none.
export function blank() {
  list.style.minHeight = "";
  for (const part of [body, list]) part.replaceChildren();
  for (const grade of grades) say(grade, "");
}

export function show(state) {
  rows(body, state.contacts.length, () => {
    const row = document.createElement("tr");
    row.innerHTML = '<th scope="row"></th><td></td><td><span><b aria-hidden="true"></b> <i></i></span></td><td></td><td class="kept-cell"></td>';
    return row;
  });
  state.contacts.forEach((contact, k) => {
    const [name, overlap, cell, error, was] = body.children[k].children;
    const [sign, kind] = SIGNS[contact.state];
    say(name, contact.contact);
    say(overlap, contact.overlap_mm === null || contact.state === "not shown" ? "" : measure(contact.overlap_mm));
    set(cell.firstChild, "class", `state ${kind}`);
    say(cell.firstChild.children[0], sign);
    say(cell.firstChild.children[1], contact.state);
    say(error, shortly(contact.beam));
    set(error, "title", contact.beam);
    const before = kept?.get(contact.contact);
    hide(was, kept === null);
    say(was, before ? `${SIGNS[before.state][0]} ${before.overlap_mm === null ? before.state : measure(before.overlap_mm)}` : "");
  });
  list.style.minHeight = "";
  rows(list, state.criteria.length, () => {
    const item = document.createElement("li");
    item.innerHTML = '<b aria-hidden="true"></b><span></span>';
    return item;
  });
  state.criteria.forEach((finding, k) => {
    const [sign, kind] = SIGNS[finding.outcome];
    const item = list.children[k];
    set(item, "class", `outcome ${kind}`);
    say(item.children[0], sign);
    say(item.children[1], finding.sentence);
    set(item, "title", finding.source);
  });
  for (const grade of grades) say(grade, `Rating ${state.rating.grade} (${state.rating.scheme_title})`);
}

export function inWords(state) {
  const open = state.contacts.filter((c) => c.state === "open").length;
  return `${open} of ${state.contacts.length} contacts open, rating ${state.rating.grade}.`;
}

// A narrow column says it in fewer letters; the whole is told where it is pointed at.
const shortly = (words) => words.replace(" degrees", "°").replace("to the ", "");
const measure = (mm) => `${overlapWords(mm)} mm`;
export const signed = (value) => `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)}`;

function rows(parent, count, make) {
  while (parent.childElementCount < count) parent.append(make());
  while (parent.childElementCount > count) parent.lastChild.remove();
}
