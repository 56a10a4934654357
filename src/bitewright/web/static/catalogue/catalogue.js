// The catalogue: own entries are sent as they stand in the form; the server checks every figure.
import { fetched } from "../fetched.js";

const say = document.getElementById("say");

function tell(text, fault = false) {
  say.textContent = text;
  say.classList.toggle("fault", fault);
  if (fault) say.scrollIntoView({ block: "center" });
}

async function send(address, options) {
  try {
    await fetched(address, options);
    location.reload();
  } catch (error) {
    tell(error.message, true);
  }
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
    const entry = read(form);
    send(`/catalogue/${form.dataset.section}/${encodeURIComponent(entry.name)}`, {
      method: "PUT",
      body: JSON.stringify(entry),
      headers: { "content-type": "application/json" },
    });
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
document.getElementById("import").addEventListener("change", (event) => {
  if (event.target.files.length) send("/catalogue/equipment-file", { method: "POST", body: event.target.files[0] });
});
document.getElementById("add-mouth").addEventListener("submit", (event) => {
  event.preventDefault();
  const { name, file } = event.target.elements;
  send(`/catalogue/mouth-file?name=${encodeURIComponent(name.value)}`, { method: "POST", body: file.files[0] });
});
