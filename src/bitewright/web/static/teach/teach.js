// The sets: begin one, usual or chosen, or the same one again.
import { json } from "../fetched.js";
import "./whose.js";

const form = document.getElementById("begin");
const say = document.getElementById("say");
const MOST_SEED = 2147483647;

const tell = (text, fault = false) => {
  say.className = fault ? "fault" : "";
  say.textContent = text;
};

async function begin(asked) {
  tell("The set is being made.");
  try {
    const made = await json("/teach/sets", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(asked) });
    location.href = made.address;
  } catch (error) {
    tell(error.message, true);
  }
}

form?.addEventListener("submit", (event) => {
  event.preventDefault();
  const asked = { seed: 1 + Math.floor(Math.random() * (MOST_SEED - 1)) };
  if (event.submitter?.id === "aim-now") Object.assign(asked, { count: 4, kinds: ["aim"] });
  else if (event.submitter?.id !== "now") {
    const chosen = new FormData(form);
    asked.count = Number(chosen.get("count"));
    if (chosen.get("seed")) asked.seed = Number(chosen.get("seed"));
    for (const name of ["kinds", "faults", "own"]) asked[name] = chosen.getAll(name);
    const empty = ["kinds", "faults"].find((name) => !asked[name].length);
    if (empty) return tell(`None of the ${empty} is ticked: tick at least one.`, true);
  }
  begin(asked);
});

for (const button of document.querySelectorAll("[data-ticks]")) {
  button.addEventListener("click", () => {
    for (const box of form.querySelectorAll(`[name=${button.dataset.ticks}]`)) box.checked = Boolean(button.dataset.on);
  });
}

for (const button of document.querySelectorAll("[data-again]")) {
  button.addEventListener("click", () => begin({ again: button.dataset.again }));
}
