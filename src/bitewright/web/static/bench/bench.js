// The bench: numbers in, drawings, findings and film out.
import { fetched, json } from "../fetched.js";
import { Latest } from "../latest.js";
import "../paper.js";
import * as rating from "../rated.js";
import * as build from "./build.js";
import * as drawings from "./drawings.js";
import * as film from "./film.js";
import * as findings from "./findings.js";
import * as handled from "./handling.js";
import * as looks from "./looks.js";
import * as plan from "./plan.js";
import * as numbers from "./settings.js";
import * as shown from "./shown.js";
import * as space from "./space.js";
import * as steps from "./steps.js";
import * as ways from "./ways.js";
import { Wire } from "./wire.js";

const REST_MS = 150;
const WORDS_MS = 80;
const AGAIN_MS = 2000;
const LONG = 80;
const GONE = "The server does not answer: what is shown stays as it was. The bench goes on by itself once the server is there again.";
const chooser = document.getElementById("chooser");
const say = document.getElementById("say");
const chosen = () => new URLSearchParams(new FormData(chooser)).toString();
const address = () => numbers.toAddress([...rating.unusual(), ...handled.toQuery()]);
const lays = new Latest();
let seq = 0;
let wires = [];
let rest = 0;
let asking = null;
let state = null;
let resting = 0;
let whole = 0;
let telling = 0;
let told = 0;
let away = false;

function tell(text, fault = false) {
  say.textContent = text;
  say.classList.toggle("fault", fault);
  say.classList.toggle("long", text.length > LONG);
}

// Of another mouth or view nothing may stay in sight.
function forget() {
  for (const wire of wires) wire.close();
  wires = [];
  asking?.abort();
  clearTimeout(rest);
  clearTimeout(telling);
  telling = 0;
  state = null;
  drawings.forget();
  space.forget();
  film.forgetKept();
  film.blank("The film is being made; drawings and numbers work already.");
  findings.keep(null);
  findings.blank();
  plan.forget();
  ways.forget();
}

// Of two mouths chosen one after the other the last is laid, however long the first takes.
async function lay() {
  const isLast = lays.begin();
  const query = chosen();
  forget();
  tell("The mouth is being built.");
  try {
    const station = await json(`/bench/station?${query}`);
    if (!isLast()) return;
    space.lay(query);
    handled.of(station.receptor_kind);
    drawings.lay(station.drawing, { value: numbers.value, set: numbers.set });
    tell(`${station.view_title}: ${station.purpose}`);
  } catch (error) {
    if (!isLast()) return;
    if (error.status) tell(error.message, true);
    else gone();
    return;
  }
  await build.watch(query);
  if (!isLast()) return;
  wires = [
    new Wire(`/bench/moving/state?${query}`, { answered: showState, failed, gone }),
    new Wire(`/bench/moving/film?${query}`, { answered: film.paintSmall, failed: failedFilm, gone }),
  ];
  moved();
}

function moved() {
  seq += 1;
  document.getElementById("film").dataset.wish = seq;
  shown.wished(seq);
  const settings = numbers.settings();
  plan.showFurther();
  for (const wire of wires) wire.wish(seq, settings, { by: rating.rated(), film: handled.handling() });
  asking?.abort();
  clearTimeout(rest);
  rest = setTimeout(rested, REST_MS, seq);
}

function rested(number) {
  resting = number;
  steps.keep(address());
  tellNext();
  askWhole();
}

// The whole film of a setting that rests, once it is known that it can be.
async function askWhole() {
  if (resting !== seq || state?.seq !== seq || whole === seq || state.does_not_fit) return;
  const number = (whole = seq);
  asking = new AbortController();
  try {
    const query = new URLSearchParams([...new URLSearchParams(chosen()), ...handled.toQuery(), ["settings", JSON.stringify(numbers.settings())]]);
    const answer = await fetched(`/bench/film?${query}`, { signal: asking.signal });
    const pixels = new Uint16Array(await answer.arrayBuffer());
    if (number !== seq || wires.length === 0) return;
    const head = (name) => Number(answer.headers.get(name));
    film.paintFull(number, pixels, head("x-columns"), head("x-rows"), answer.headers.get("x-pixel-mm"));
  } catch (error) {
    if (error.name !== "AbortError" && error.status && !build.isStopped()) tell(error.message, true);
  }
}

// A refusal of what is no longer wanted is not told.
function failed(text, answer) {
  if (answer.seq === seq || answer.seq === 0) tell(text, true);
}

function failedFilm(text, answer) {
  if (answer.does_not_fit) film.blank("No film: the receptor does not fit there.", answer.seq);
  else if (!build.isStopped()) failed(text, answer);
}

function gone() {
  tell(GONE, true);
  if (away) return;
  away = true;
  setTimeout(comeBack, AGAIN_MS);
}

async function comeBack() {
  try {
    await fetched(`/bench/build?${chosen()}`);
    away = false;
    lay();
  } catch (error) {
    if (error.status) tell(error.message, true);
    setTimeout(comeBack, AGAIN_MS);
  }
}

// In words once the hand rests: told at every step, nobody could listen.
function tellNext() {
  if (state === null) return;
  if (state.does_not_fit || state.seq === resting) tell(state.next_step, state.does_not_fit !== null);
}

function showState(answer) {
  state = answer;
  numbers.showSpace(answer.lingual_mm);
  drawings.show(answer.drawing, answer.stays, new Set(answer.contacts.map((c) => c.contact)));
  space.show(answer.drawing.solid);
  document.body.dataset.seq = answer.seq;
  tellNext();
  askWhole();
  telling ||= setTimeout(showFindings, Math.max(0, told + WORDS_MS - performance.now()));
}

// Words and figures follow more slowly than the hand: nobody reads quicker, and the film needs the time.
function showFindings() {
  telling = 0;
  told = performance.now();
  shown.shown("state", state.seq);
  if (state.does_not_fit) {
    findings.refuse();
    film.blank("No film: the receptor does not fit there.", state.seq);
    return;
  }
  findings.show(state);
  film.describe(findings.inWords(state));
}

async function findBest() {
  const found = await seekPlan();
  if (found === null) return;
  numbers.set(found.settings);
  found.frame();
}

const wanted = () => `${chosen()}&${new URLSearchParams(rating.rated())}`;
const seekPlan = () => plan.find(wanted(), tell);

function keepBeside() {
  if (state === null || state.does_not_fit || !shown.isCurrent("state") || !shown.isCurrent("film")) {
    tell("There is no film of this setting yet: keep it once it is there.", true);
    return;
  }
  findings.keep(state);
  film.keepBeside(`${state.contact_error_deg === null ? "" : `beam off by ${findings.signed(state.contact_error_deg)}°, `}${findings.inWords(state)}`);
}

async function copyLink() {
  const link = new URL(address(), location.href).href;
  try {
    await navigator.clipboard.writeText(link);
    tell("The link is on the clipboard; it opens on this computer while the server runs.");
  } catch {
    tell(`Copy this address: ${link}`);
  }
}

function undo() {
  if (!steps.undo()) tell("This is the first setting: there is nothing to undo.");
}

function openTour() {
  document.getElementById("tour").showModal();
}

const startAgain = () => numbers.set(numbers.SQUARE);
const ACTS = { plan: findBest, keep: keepBeside, reset: startAgain, undo, hall: looks.present, link: copyLink, print: () => print(), "tour-open": openTour };
const KEYS = { b: "plan", k: "keep", r: "reset", u: "undo", p: "hall" };

for (const [id, act] of Object.entries(ACTS)) document.getElementById(id).addEventListener("click", act);
addEventListener("keydown", (event) => {
  const typing = event.target.closest("input[type=number], input[type=text], select, dialog");
  if (typing || event.ctrlKey || event.metaKey || event.altKey) return;
  const id = KEYS[event.key.toLowerCase()];
  if (id) document.getElementById(id).click();
  if (event.key.toLowerCase() === "l") looks.enlargeFilm();
});
chooser.addEventListener("change", () => {
  for (const told of document.querySelectorAll(".unknown")) told.remove();
  lay();
});
numbers.onChange(moved);
build.onWanted(moved);
handled.onHandling(moved);
plan.onFurther(seekPlan);
ways.onOpen(wanted);
rating.onRated(() => {
  plan.forget();
  ways.forget();
  drawings.ghost(null);
  moved();
});
steps.onStep(() => {
  const before = chosen();
  choose();
  rating.choose(Object.fromEntries(new URLSearchParams(location.search)));
  handled.fromAddress();
  numbers.set({ ...numbers.SQUARE, ...numbers.fromAddress() }, { quiet: true });
  if (chosen() === before && wires.length) moved();
  else lay();
});

// What lies on the bench as the address says it; what it leaves out is what lies there at first.
function choose() {
  const query = new URLSearchParams(location.search);
  for (const select of chooser.querySelectorAll("select")) {
    const wanted = query.get(select.name);
    const found = [...select.options].find((o) => o.value === wanted) ?? [...select.options].find((o) => o.defaultSelected);
    if (found) select.value = found.value;
  }
}

choose();
handled.fromAddress();
numbers.set(numbers.fromAddress(), { quiet: true });
try {
  if (!localStorage.getItem("toured")) openTour();
  localStorage.setItem("toured", "yes");
} catch {
  // Where nothing may be kept, the tour waits for its button.
}
lay();
