// The log's page: the form and its keys. What was said of operator, receptor and the like stays for the next film.
import { json } from "../fetched.js";
import { onGoneBack } from "../gone_back.js";
import { rated } from "../rated.js";
import { changes, faultsText, newKey } from "./entry_fields.js";
import { FaultLetters } from "./fault_letters.js";
import { listAgain, onCorrect } from "./log_list.js";

const by = (id) => document.getElementById(id);
const form = by("entry");
const fields = form.elements;
const REMEMBERED = "bitewright.log-entry";
const STAYING = ["operator", "receptor", "decided_by", ...[...form.querySelectorAll("[name][data-kept]")].map((at) => at.name)];
const boxes = [...form.querySelectorAll("[name=fault]")];
const letters = new FaultLetters(new Map(boxes.map((box) => [box.dataset.letters, box.value])));
let today = form.dataset.today;
let key = newKey();
let beside = {}; // fields that no control of the form holds
let correcting = null; // number and texts of the exposure that is corrected
let ofFilm = false; // filled in from a film of the light box

// ------------------------------------------------------------------ what stays for the next film
const remembered = () => { try { return JSON.parse(localStorage.getItem(REMEMBERED) ?? "{}"); } catch { return {}; } };
function remember() {
  const kept = Object.fromEntries([...STAYING.map((name) => [name, fields[name].value]), ["grades-of", by("grades-of").value]]);
  try { localStorage.setItem(REMEMBERED, JSON.stringify(kept)); } catch { /* only forgotten with the page */ }
}

function put(name, text) {
  const at = fields[name];
  if (at instanceof HTMLSelectElement && ![...at.options].some((option) => option.value === text)) at.append(new Option(text, text));
  at.value = text;
}

// ------------------------------------------------------------------ keys that choose and go on
const groups = () => [...form.querySelectorAll("fieldset.keyed")].filter((group) => !group.hidden);
const focusGroup = (group) => (group.querySelector("input:checked") ?? group.querySelector("input")).focus();

function goOn(group) {
  const next = groups()[groups().indexOf(group) + 1];
  if (next) focusGroup(next);
  else by("fault-letters").focus();
}

for (const group of form.querySelectorAll("fieldset.keyed")) {
  group.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const chosen = [...group.querySelectorAll("input")].find((at) => at.dataset.key && at.dataset.key === event.key.toLowerCase());
    if (!chosen) return;
    event.preventDefault();
    event.stopPropagation();
    chosen.checked = true;
    goOn(group);
  });
}

function showGrades() {
  for (const option of by("grades-of").options) {
    const group = by(`grade-${option.value}`);
    group.hidden = option.value !== by("grades-of").value;
    if (group.hidden) for (const at of group.querySelectorAll("input")) at.checked = false;
  }
}
by("grades-of").addEventListener("change", showGrades);

// ------------------------------------------------------------------ faults
const chosenFaults = () => boxes.filter((box) => box.checked);
function tellFaults(more = "") {
  const named = chosenFaults().map((box) => box.dataset.title).join(", ");
  by("fault-said").textContent = [more, named || "none"].filter(Boolean).join(" Faults: ");
}
by("fault-letters").addEventListener("input", (event) => {
  const { fault, unknown } = letters.take(event.target.value);
  if (!fault && !unknown) return;
  event.target.value = "";
  const box = boxes.find((each) => each.value === fault);
  if (box) box.checked = !box.checked;
  tellFaults(unknown && `No fault has the letters ${unknown}.`);
});
by("all-faults").addEventListener("change", () => tellFaults());

// ------------------------------------------------------------------ filling in and emptying
const isOther = () => fields.day.value !== today;
const tellDay = () => { by("other-day").hidden = !isOther(); };
fields.day.addEventListener("change", tellDay);

function empty() {
  for (const at of form.querySelectorAll("input[type=radio], [name=fault]")) at.checked = false;
  for (const name of ["case", "kind", "retake_of", "reason", "note", "why"]) fields[name].value = name === "kind" ? "exposure" : "";
  [key, beside, correcting, ofFilm] = [newKey(), {}, null, false];
  form.classList.remove("correcting");
  by("about-correction").hidden = true;
  for (const name of ["by", "why"]) fields[name].required = false;
  for (const id of ["decision-keys", "decider"]) by(id).hidden = false;
  by("entry-title").textContent = "Enter an exposure";
  tellFaults();
}

function fill(texts) {
  beside = {};
  for (const [name, text] of Object.entries(texts)) {
    if (name === "rating") {
      const scheme = text.split(":")[0];
      if (by(`grade-${scheme}`)) by("grades-of").value = scheme;
      showGrades();
    }
    if (["view", "rating", "decision"].includes(name)) {
      const at = [...form.querySelectorAll(`[name=${name}]`)].find((each) => each.value === text);
      if (at) at.checked = true;
      else beside[name] = text;
    } else if (name === "faults") {
      const named = text.split("|").map((part) => part.split(":")[0]);
      for (const box of boxes) box.checked = named.includes(box.value);
      beside.faults = text;
    } else if (fields[name]) put(name, text);
    else beside[name] = text;
  }
  tellFaults();
  tellDay();
}

const chosen = (name) => form.querySelector(`[name=${name}]:checked`)?.value;
function given() {
  const { faults: sized, ...others } = beside;
  const texts = { ...others };
  for (const name of ["day", "operator", "receptor", "decided_by", "case", "room", "supervisor", "level", "holder", "kind", "retake_of", "reason", "note"]) texts[name] = fields[name].value.trim();
  for (const name of ["view", "rating", "decision"]) texts[name] = chosen(name) ?? others[name] ?? "";
  if (texts.decision === "undecided") texts.decision = "";
  if (!texts.decision) texts.decided_by = "";
  if (texts.retake_of) texts.kind = "retake";
  texts.faults = faultsText(chosenFaults().map((box) => box.value), sized);
  return texts;
}

// ------------------------------------------------------------------ saving
const sent = (address, body) => json(address, { method: "POST", body: JSON.stringify(body), headers: { "content-type": "application/json" } });

function tellWrong(error) {
  by("said").textContent = "";
  by("wrong").textContent = error.message;
  const at = error.field && fields[error.field];
  for (const each of form.querySelectorAll("[aria-invalid]")) each.removeAttribute("aria-invalid");
  if (at instanceof HTMLElement) {
    if (at.closest("details")) at.closest("details").open = true;
    at.setAttribute("aria-invalid", "true");
    at.setAttribute("aria-describedby", "wrong");
    at.focus();
  }
}

async function save() {
  by("wrong").textContent = "";
  by("save").disabled = true;
  try {
    const now = given();
    if (!correcting && !ofFilm && !now.decided_by && now.decision && !now.supervisor) now.decided_by = now.operator;
    if (correcting) {
      const { decision, decided_by, ...others } = now;
      const { number, texts } = correcting;
      const done = await sent(`/record/log/exposures/${number}/correction`, { fields: changes(texts, others), by: fields.by.value.trim(), why: fields.why.value.trim(), key });
      return saved(done);
    }
    if (!isOther()) now.day = "";
    return saved(await sent("/record/log/exposures", { fields: Object.fromEntries(Object.entries(now).filter(([, text]) => text)), key }));
  } catch (error) {
    return tellWrong(error);
  } finally {
    by("save").disabled = false;
  }
}

function saved(done) {
  const was = isOther();
  const wasCorrecting = correcting !== null;
  if (!wasCorrecting) remember();
  empty();
  today = done.today;
  fields.day.max = today;
  if (wasCorrecting) recall();
  if (!was || wasCorrecting) fields.day.value = today;
  tellDay();
  by("said").textContent = done.said;
  for (const each of form.querySelectorAll("[aria-invalid]")) each.removeAttribute("aria-invalid");
  focusGroup(groups()[0]);
  return listAgain();
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  if (!by("save").disabled) save();
});
by("anew").addEventListener("click", () => {
  empty();
  recall();
  fields.day.value = today;
  tellDay();
  [by("said").textContent, by("wrong").textContent] = ["", ""];
  start();
});

// ------------------------------------------------------------------ correcting, and a film of the light box
onCorrect(({ number, texts }) => {
  empty();
  forget(["room"]);
  fill(texts);
  correcting = { number, texts };
  form.classList.add("correcting");
  by("entry-title").textContent = `Correct exposure ${number}`;
  by("about-correction").hidden = false;
  for (const id of ["decision-keys", "decider"]) by(id).hidden = true;
  for (const name of ["by", "why"]) fields[name].required = true;
  by("more").open = true;
  by("entry-title").focus();
});

// Whoever and whatever was said of another exposure.
function forget(more = []) {
  for (const name of ["operator", "receptor", "decided_by", "supervisor", "level", "holder", ...more]) fields[name].value = "";
}

function recall() {
  const kept = remembered();
  for (const name of STAYING) put(name, kept[name] ?? "");
  if (kept["grades-of"]) by("grades-of").value = kept["grades-of"];
  showGrades();
}

const start = () => (fields.operator.value ? focusGroup(groups()[0]) : fields.operator.focus());

// A film says its own alone, and who writes begins at the operator each time: a code typed into a view would change it.
async function fromFilm(number) {
  by("said").textContent = "Reading the film …";
  forget();
  fields.operator.focus();
  by("save").disabled = true;
  try {
    const film = await json(`/record/log/film/${number}?${new URLSearchParams(rated())}`);
    fill(film.fields);
    [key, ofFilm] = [film.key, true];
    by("said").textContent = film.logged ?? `Filled in from the film “${film.label}”: look at it, then save.`;
  } catch (error) {
    tellWrong(error);
  } finally {
    by("save").disabled = false;
  }
}

recall();
tellFaults();
const film = new URLSearchParams(location.search).get("film");
if (film) fromFilm(film);
else start();

// What a film says may have been changed since, and the list may be older than the log; what is typed of no film stays.
onGoneBack(() => {
  if (ofFilm) location.reload();
  else listAgain();
});
