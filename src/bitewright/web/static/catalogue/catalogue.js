// The catalogue: own entries are sent as they stand in the form; the server checks every figure.
import { fetched } from "../fetched.js";
import { onRated, rated } from "../rated.js";

const say = document.getElementById("say");

function tell(text, fault = false) {
  say.textContent = text;
  say.classList.toggle("fault", fault);
  if (fault) say.scrollIntoView({ block: "center" });
}

async function send(address, options, form = null) {
  try {
    await fetched(address, options);
    location.reload();
  } catch (error) {
    const field = form?.elements[error.field ?? form.dataset.otherwise];
    if (!field) tell(error.message, true);
    else {
      refuse(field, error.atField ?? error.message);
      field.focus();
    }
  }
}

const wrongOf = (input) => document.getElementById(`${input.id}-wrong`);

// What is wrong stands at its field.
function refuse(input, text) {
  input.setAttribute("aria-invalid", "true");
  wrongOf(input).textContent = text;
  wrongOf(input).hidden = false;
}

function accept(input) {
  if (!input.getAttribute("aria-invalid")) return;
  input.removeAttribute("aria-invalid");
  wrongOf(input).hidden = true;
}

// Whether everything in a form can be sent; the first thing that cannot gets the focus.
function isWhole(form) {
  const inputs = [...form.elements].filter((input) => input.id && wrongOf(input));
  for (const input of inputs) {
    accept(input);
    if (!input.checkValidity()) refuse(input, input.validationMessage);
  }
  const first = inputs.find((input) => input.getAttribute("aria-invalid"));
  first?.focus();
  return !first;
}

for (const form of document.querySelectorAll("form[novalidate]")) {
  form.addEventListener("input", (event) => accept(event.target));
}

function read(form) {
  const entry = {};
  for (const input of form.querySelectorAll("input, select")) {
    if (input.type === "checkbox") entry[input.name] = input.checked;
    else if (input.value !== "") entry[input.name] = input.type === "number" ? Number(input.value) : input.value;
  }
  return entry;
}

function fill(form, entry) {
  for (const input of form.querySelectorAll("input, select")) {
    if (input.type === "checkbox") input.checked = Boolean(entry[input.name]);
    else input.value = entry[input.name] ?? "";
  }
}

for (const form of document.querySelectorAll("form.entry")) {
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (!isWhole(form)) return;
    const entry = read(form);
    send(`/catalogue/${form.dataset.section}/${encodeURIComponent(entry.name)}`, {
      method: "PUT",
      body: JSON.stringify(entry),
      headers: { "content-type": "application/json" },
    }, form);
  });
}
for (const button of document.querySelectorAll("[data-copy]")) {
  button.addEventListener("click", () => {
    const form = document.querySelector(`form[data-section="${button.dataset.copy}"]`);
    const entry = JSON.parse(button.dataset.entry);
    if (!button.textContent.trim().startsWith("Change")) {
      entry.name = `own-${entry.name}`;
      if (entry.title) entry.title = `own ${entry.title}`;
    }
    for (const input of form.querySelectorAll("[aria-invalid]")) accept(input);
    fill(form, entry);
    form.closest("details").open = true;
    form.querySelector("input").focus();
    tell("Copied into the form: change what differs, say where the figures come from, then keep it.");
  });
}
for (const button of document.querySelectorAll("[data-remove]")) {
  button.addEventListener("click", () => {
    if (confirm(`Remove ${button.dataset.title} from your own entries?`)) send(`/catalogue/${button.dataset.remove}`, { method: "DELETE" });
  });
}
// What films are rated for and by is told beside the criteria, and marked among the schemes.
function showRated() {
  const chosen = rated();
  for (const part of document.querySelectorAll("[data-chosen]")) {
    const isChosen = chosen[part.dataset.chosen] === part.dataset.name;
    if (part.localName === "tr") part.setAttribute("aria-current", String(isChosen));
    else part.hidden = !isChosen;
  }
}
onRated(showRated);
showRated();

document.getElementById("checklists-file").addEventListener("change", (event) => {
  if (event.target.files.length) send("/catalogue/checklist-file", { method: "POST", body: event.target.files[0] });
});
document.getElementById("import").addEventListener("change", (event) => {
  if (event.target.files.length) send("/catalogue/equipment-file", { method: "POST", body: event.target.files[0] });
});
document.getElementById("add-mouth").addEventListener("submit", (event) => {
  event.preventDefault();
  if (!isWhole(event.target)) return;
  const { name, file } = event.target.elements;
  send(`/catalogue/mouth-file?name=${encodeURIComponent(name.value)}`, { method: "POST", body: file.files[0] }, event.target);
});
