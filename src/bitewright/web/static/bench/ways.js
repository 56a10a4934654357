// Other ways: what to take where no aim mends it, looked for when the part is opened.
import { json } from "../fetched.js";

const part = document.getElementById("ways");
const say = document.getElementById("ways-say");
const list = document.getElementById("ways-steps");
const notes = document.getElementById("ways-notes");
const assumed = document.getElementById("ways-assumed");
const card = document.getElementById("card");
const limits = document.getElementById("limits");
const opens = document.getElementById("opens");
let asking = null;
let wanted = () => "";

export function forget() {
  asking?.abort();
  asking = null;
  list.replaceChildren();
  say.textContent = notes.textContent = assumed.textContent = "";
  if (part.open) find();
}

export function onOpen(query) {
  wanted = query;
  part.addEventListener("toggle", () => part.open && asking === null && find());
  card.addEventListener("click", () => (card.href = `/bench/card?${asked()}`));
  limits.addEventListener("change", forget);
  limits.addEventListener("submit", (event) => event.preventDefault());
}

// What lies on the bench and the patient's limits; a number left empty is none.
function asked() {
  const patient = [...new FormData(limits)].filter(([, value]) => value !== "");
  return new URLSearchParams([...new URLSearchParams(wanted()), ...patient]);
}

async function find() {
  if (!opens.checkValidity()) {
    say.textContent = `Front teeth part ${Number(opens.min)} to ${Number(opens.max)} mm: give such a number, or leave it empty.`;
    return;
  }
  const own = (asking = new AbortController());
  say.textContent = "Trying every step; this takes some seconds.";
  try {
    const found = await json(`/bench/ladder?${asked()}`, { signal: own.signal });
    if (asking === own) show(found);
  } catch (error) {
    if (error.name === "AbortError" || asking !== own) return;
    say.textContent = error.message;
    asking = null;
  }
}

function show(found) {
  say.textContent = found.answer;
  list.replaceChildren(...found.steps.map((step, number) => line(step, number === found.take, found.decided_by)));
  notes.textContent = found.notes;
  assumed.textContent = found.assumed;
}

function line(step, isTaken, hand) {
  const made = document.createElement("li");
  const words = document.createElement(isTaken ? "strong" : "span");
  words.textContent = step.words;
  const told = step.fits ? `: serves in ${step.odds[hand] > 0.99 ? "over 99" : Math.round(100 * step.odds[hand])}%; dose ${step.dose_words}; lost: ${step.lost.charAt(0).toLowerCase()}${step.lost.slice(1)}` : `: ${step.lost}`;
  made.append(words, told);
  return made;
}
