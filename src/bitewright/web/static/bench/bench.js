// The bench: numbers in, drawings, findings and film out.
import { fetched, json } from "../fetched.js";
import { Latest } from "../latest.js";
import * as build from "./build.js";
import * as drawings from "./drawings.js";
import * as film from "./film.js";
import * as findings from "./findings.js";
import * as numbers from "./settings.js";
import * as space from "./space.js";
import { Wire } from "./wire.js";

const REST_MS = 150;
const WORDS_MS = 80;
const chooser = document.getElementById("chooser");
const say = document.getElementById("say");
const chosen = () => new URLSearchParams(new FormData(chooser)).toString();
let seq = 0;
let wires = [];
const lays = new Latest();
let rest = 0;
let asking = null;
let planning = null;
let state = null;
let plan = null;
let resting = 0;
let telling = 0;
let told = 0;

function tell(text, fault = false) {
  say.textContent = text;
  say.classList.toggle("fault", fault);
}

// Of two mouths chosen one after the other the last is laid, however long the first takes.
async function lay() {
  const isLast = lays.begin();
  const query = chosen();
  for (const wire of wires) wire.close();
  wires = [];
  asking?.abort();
  planning?.abort();
  clearTimeout(rest);
  drawings.forget();
  film.forgetKept();
  findings.keep(null);
  plan = null;
  numbers.showRoom(null);
  document.getElementById("room-words").textContent = "";
  tell("The mouth is being built.");
  try {
    const station = await json(`/bench/station?${query}`);
    if (!isLast()) return;
    space.lay(query);
    drawings.lay(station.drawing, { value: numbers.value, set: numbers.set });
    tell(`${station.view_title}: ${station.purpose}`);
  } catch (error) {
    if (isLast()) tell(error.message, true);
    return;
  }
  const failed = (text) => tell(text, true);
  const failedFilm = (text) => build.isStopped() || failed(text);
  await build.watch(query);
  if (!isLast()) return;
  wires = [
    new Wire(`/bench/moving/state?${query}`, { answered: showState, failed }),
    new Wire(`/bench/moving/film?${query}`, { answered: film.paintSmall, failed: failedFilm }),
  ];
  moved();
}

function moved() {
  seq += 1;
  document.getElementById("film").dataset.wish = seq;
  const settings = numbers.settings();
  for (const wire of wires) wire.wish(seq, settings);
  asking?.abort();
  clearTimeout(rest);
  rest = setTimeout(rested, REST_MS, seq, settings);
}

async function rested(number, settings) {
  history.replaceState(null, "", numbers.toAddress());
  resting = number;
  tellNext();
  asking = new AbortController();
  try {
    const query = new URLSearchParams([...new URLSearchParams(chosen()), ["settings", JSON.stringify(settings)]]);
    const answer = await fetched(`/bench/film?${query}`, { signal: asking.signal });
    const pixels = new Uint16Array(await answer.arrayBuffer());
    if (number !== seq) return;
    const head = (name) => Number(answer.headers.get(name));
    film.paintFull(number, pixels, head("x-columns"), head("x-rows"), answer.headers.get("x-pixel-mm"));
  } catch (error) {
    if (error.name !== "AbortError" && !build.isStopped()) tell(error.message, true);
  }
}

// In words once the hand rests: told at every step, nobody could listen.
function tellNext() {
  if (state === null) return;
  if (state.does_not_fit || state.seq === resting) tell(state.next_step, state.does_not_fit !== null);
}

function showState(answer) {
  state = answer;
  numbers.showSpace(answer.placement.lingual_mm);
  drawings.show(answer.drawing, new Set(answer.contacts.map((c) => c.contact)));
  space.show(answer.drawing.solid);
  document.body.dataset.seq = answer.seq;
  tellNext();
  telling ||= setTimeout(showFindings, Math.max(0, told + WORDS_MS - performance.now()));
}

// Words and figures follow more slowly than the hand: nobody reads quicker, and the film needs the time.
function showFindings() {
  telling = 0;
  told = performance.now();
  findings.show(state);
  film.describe(findings.inWords(state));
}

const SLIPS = {
  "tube-forward": ["ring_offset_deg", "front"],
  "tube-back": ["ring_offset_deg", "back"],
  "tube-up": ["vertical_deg", "down"],
  "tube-down": ["vertical_deg", "up"],
  "receptor-forward": ["forward_mm", "front"],
  "receptor-back": ["forward_mm", "back"],
};

async function findBest() {
  const button = document.getElementById("plan");
  button.disabled = true;
  tell("Looking for the best aim and place.");
  planning = new AbortController();
  const { signal } = planning;
  try {
    plan = await json(`/bench/plan?${chosen()}`, { signal });
    numbers.set(plan.settings);
    showRoomLeft();
    const query = new URLSearchParams([...new URLSearchParams(chosen()), ["settings", JSON.stringify(plan.settings)]]);
    const planned = await json(`/bench/exposure?${query}`, { signal });
    drawings.ghost(planned.drawing);
    drawings.frame(planned.drawing);
  } catch (error) {
    if (error.name !== "AbortError") tell(error.message, true);
  } finally {
    button.disabled = false;
  }
}

function showRoomLeft() {
  const texts = {};
  for (const slip of plan.tolerances) {
    const [name, way] = SLIPS[slip.slip];
    const unit = slip.unit === "deg" ? "°" : " mm";
    texts[name] = `${texts[name] ?? "room left:"} ${way} ${roomOf(slip, unit)};`;
  }
  for (const name of Object.keys(texts)) texts[name] = texts[name].replace(/;$/, "");
  numbers.showRoom(texts);
  document.getElementById("room-words").textContent =
    "Room left about the best aim, each movement alone, is told under its slider; the ghost shows the planned place.";
}

// Until whatever comes first: a target that was met is lost, or a criterion that was short fails.
function roomOf(slip, unit) {
  const events = [
    [slip.until_target_lost, `then short: ${slip.target_lost_title}`],
    [slip.until_failed, `then failed: ${slip.failed_title}`],
  ].filter(([until]) => until !== null);
  if (events.length === 0) return `more than ${slip.tried}${unit}`;
  const [until, words] = events.reduce((one, other) => (other[0] < one[0] ? other : one));
  return `${Number(until.toFixed(1))}${unit} (${words})`;
}

function keepBeside() {
  if (state === null) return;
  findings.keep(state);
  film.keepBeside(`beam off by ${findings.signed(state.contact_error_deg)}°, ${findings.inWords(state)}`);
}

function startAgain() {
  numbers.set({ ring_offset_deg: 0, vertical_deg: 0, tube_forward_mm: 0, tube_up_mm: 0, forward_mm: 0, turn_deg: 0, height_mm: 0, tilt_deg: 0, roll_deg: 0, lingual_mm: null });
}

async function copyLink() {
  const address = new URL(numbers.toAddress(), location.href).href;
  try {
    await navigator.clipboard.writeText(address);
    tell("The link is on the clipboard; it opens on this computer while the server runs.");
  } catch {
    tell(`Copy this address: ${address}`);
  }
}

const ACTS = { plan: findBest, keep: keepBeside, reset: startAgain, link: copyLink, print: () => print(), "tour-open": openTour };
const KEYS = { b: "plan", k: "keep", r: "reset" };

function openTour() {
  document.getElementById("tour").showModal();
}

for (const [id, act] of Object.entries(ACTS)) document.getElementById(id).addEventListener("click", act);
addEventListener("keydown", (event) => {
  const typing = event.target.closest("input[type=number], input[type=text], select, dialog");
  if (typing || event.ctrlKey || event.metaKey || event.altKey) return;
  const id = KEYS[event.key.toLowerCase()];
  if (id) document.getElementById(id).click();
});
chooser.addEventListener("change", () => {
  for (const told of document.querySelectorAll(".unknown")) told.remove();
  lay();
});
numbers.onChange(moved);
build.onWanted(moved);

function choose() {
  const query = new URLSearchParams(location.search);
  for (const select of chooser.querySelectorAll("select")) {
    const wanted = query.get(select.name);
    if (wanted && [...select.options].some((o) => o.value === wanted)) select.value = wanted;
  }
}

choose();
numbers.set(numbers.fromAddress(), { quiet: true });
try {
  if (!localStorage.getItem("toured")) openTour();
  localStorage.setItem("toured", "yes");
} catch {
  // Where nothing may be kept, the tour waits for its button.
}
lay();
