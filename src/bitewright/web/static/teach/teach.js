// The sets: begin one, usual or chosen.
import { json } from "../fetched.js";

const form = document.getElementById("begin");
const say = document.getElementById("say");
const MOST_SEED = 2147483647;

form?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const asked = { seed: 1 + Math.floor(Math.random() * (MOST_SEED - 1)) };
  if (event.submitter?.id === "aim-now") Object.assign(asked, { count: 4, kinds: ["aim"] });
  else if (event.submitter?.id !== "now") {
    const chosen = new FormData(form);
    asked.count = Number(chosen.get("count"));
    if (chosen.get("seed")) asked.seed = Number(chosen.get("seed"));
    asked.kinds = chosen.getAll("kinds");
    asked.faults = chosen.getAll("faults");
    asked.own = chosen.getAll("own");
  }
  say.className = "";
  say.textContent = "The set is being made.";
  try {
    const made = await json("/teach/sets", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(asked) });
    location.href = made.address;
  } catch (error) {
    say.className = "fault";
    say.textContent = error.message;
  }
});
