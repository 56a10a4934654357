// The record: a sheet stays in the page and is sent again with what was answered; the server keeps nothing of it
// until it is brought in. Answers are kept in this browser for the next sheet with the same headings.
import { fetched } from "../fetched.js";

const by = (id) => document.getElementById(id);
const say = by("say");
const found = by("found");
let file = null;
let columns = {};
let words = {};

function tell(text, fault = false) {
  say.textContent = text;
  say.classList.toggle("fault", fault);
  if (fault) say.scrollIntoView({ block: "nearest" });
}

const KEPT = "bitewright.sheet-answers";
const headings = () => [...found.querySelectorAll("[data-column]")].map((at) => at.dataset.column).join("\n");
const read = () => { try { return JSON.parse(localStorage.getItem(KEPT) ?? "{}"); } catch { return {}; } };
function keep(answers) {
  try { localStorage.setItem(KEPT, JSON.stringify({ ...read(), [headings()]: answers })); } catch { /* only forgotten */ }
}

// What was answered in the form, as KEY=VALUE.
function answers() {
  const form = by("asked");
  if (!form) return [];
  const given = new Map();
  for (const at of form.querySelectorAll("fieldset input:checked")) given.set(at.name, at.value);
  for (const at of form.querySelectorAll("[data-choice]")) if (at.value) given.set(at.dataset.choice, at.value);
  if (by("blanks")?.checked) given.set("blanks", "undecided");
  for (const at of form.querySelectorAll("[data-own]")) if (at.value.trim()) given.set(at.dataset.own, at.value.trim());
  for (const at of form.querySelectorAll("[data-column]")) if (at.value !== at.dataset.found) columns[at.dataset.column] = at.value;
  for (const at of form.querySelectorAll("[data-word]")) if (at.value !== at.dataset.found) words[at.dataset.word] = at.value || "nothing";
  return [...[...given].map(([key, value]) => `${key}=${value}`), ...Object.entries(columns).map(([name, held]) => `column.${name}=${held}`), ...Object.entries(words).map(([word, held]) => `${word}=${held}`)];
}

async function sent(address, given, more = {}) {
  const asked = new URLSearchParams({ name: file.name, ...more });
  for (const each of given) asked.append("answer", each);
  return (await fetched(`${address}?${asked}`, { method: "POST", body: file, headers: { "content-type": "application/octet-stream" } })).text();
}

// What comes next: the first question that is open, or bringing the sheet in.
const next = () => found.querySelector("fieldset.open input, fieldset.open select, button[value=import]:enabled");

async function look(given, { first = false, answered = false } = {}) {
  tell(`Looking at ${file.name} …`);
  const leavesOut = by("skip")?.checked ?? false;
  try {
    found.innerHTML = await sent("/record/sheet", given);
    tell("");
    const kept = read()[headings()];
    if (first && kept?.length) return look(kept);
    if (by("skip")) by("skip").checked = leavesOut && !first;
    ((answered && next()) || by("preview-title")).focus();
  } catch (error) { tell(error.message, true); }
  return null;
}

function parts(text) {
  const held = document.createElement("div");
  held.innerHTML = text;
  for (const part of held.querySelectorAll("template")) {
    if (part.dataset.part === "imports") by("imports").replaceChildren(part.content);
    else tell(part.content.textContent.trim());
  }
}

async function bringIn(again = null) {
  const given = answers();
  const more = { ...(by("skip")?.checked ? { skip_bad_rows: "true" } : {}), ...(again ? { again } : {}) };
  tell(`Bringing in ${file.name} …`);
  try {
    const done = await sent("/record/import", given, more);
    keep(given.filter((each) => !/^(people=|operator\.)/.test(each))); // who is who is asked of each sheet
    found.replaceChildren();
    parts(done);
    say.scrollIntoView({ block: "nearest" });
  } catch (error) {
    tell(error.message, true);
    if (error.message.includes("--again")) {
      by("again-says").textContent = "Films of this sheet were brought in before. What should become of them?";
      by("again").hidden = false;
      by("again").querySelector("button").focus();
    }
  }
}

function choose(chosen) {
  if (!chosen) return;
  file = chosen;
  columns = {};
  words = {};
  by("chosen").textContent = chosen.name;
  look([], { first: true });
}

by("sheet").addEventListener("change", (event) => choose(event.target.files[0]));
const drop = by("drop");
drop.addEventListener("dragover", (event) => { event.preventDefault(); drop.classList.add("over"); });
drop.addEventListener("dragleave", () => drop.classList.remove("over"));
drop.addEventListener("drop", (event) => { event.preventDefault(); drop.classList.remove("over"); choose(event.dataTransfer.files[0]); });

found.addEventListener("submit", (event) => {
  event.preventDefault();
  if (event.submitter?.value === "import") bringIn();
  else look(answers());
});
found.addEventListener("change", (event) => {
  const at = event.target;
  if (at.matches("[data-choice]")) for (const other of at.closest("fieldset").querySelectorAll("input:checked")) other.checked = false;
  if (at.matches("fieldset input[type=radio]")) for (const other of at.closest("fieldset").querySelectorAll("[data-choice]")) other.value = "";
  if (at.matches("[data-column], [data-choice], [data-word], #blanks, fieldset input[type=radio]")) look(answers(), { answered: Boolean(at.closest("fieldset")) });
});
found.addEventListener("click", async (event) => {
  if (event.target.dataset.again) bringIn(event.target.dataset.again);
  if (event.target.id !== "mapping") return;
  try {
    const text = await sent("/record/mapping", answers());
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/toml" }));
    link.download = `${file.name.replace(/\.[^.]*$/, "")}.mapping.toml`;
    link.click();
    URL.revokeObjectURL(link.href);
  } catch (error) { tell(error.message, true); }
});
by("imports").addEventListener("click", async (event) => {
  const name = event.target.closest("[data-undo]")?.dataset.undo;
  if (!name || !confirm(event.target.closest("[data-undo]").dataset.asks)) return;
  try {
    parts(await (await fetched(`/record/undo?identifier=${name}`, { method: "POST" })).text());
  } catch (error) { tell(error.message, true); }
});
