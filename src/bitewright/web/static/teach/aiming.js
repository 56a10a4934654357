// Aim, the film hidden: the bench's drawings and numbers, and a film only where one is exposed.
import * as drawings from "../bench/drawings.js";
import * as numbers from "../bench/settings.js";
import { json } from "../fetched.js";
import { ofThisTurn } from "./whose.js";

const by = (id) => document.getElementById(id);
let of = null, asking = false, wanted = false, taken = 0;

// Lay the mouth and the set-up from which one begins. `place` makes addresses, `told` hears of films.
export function lay(given, place, told) {
  of = { place, told, given };
  for (const id of ["set-up", "aiming"]) by(id).hidden = false;
  drawings.lay(given.still, { value: numbers.value, set: numbers.set });
  numbers.onChange(draw);
  numbers.set(given.begins);
  count(given);
}

export function hide() {
  of = null;
  for (const id of ["set-up", "aiming"]) by(id).hidden = true;
  drawings.forget();
  count({ exposures: 0, said: "" });
  by("film-figure").hidden = false;
}

export const isAiming = () => of !== null;
export const hasFilm = () => taken > 0;

// The newest set-up, one question on its way at a time.
async function draw() {
  wanted = true;
  if (asking) return;
  asking = true;
  while (wanted && of !== null) {
    wanted = false;
    const asked = of;
    try {
      const laid = await json(asked.place(`/laid?settings=${encodeURIComponent(JSON.stringify(numbers.settings()))}`));
      if (of !== asked) continue;
      drawings.show({ ...laid.moves, beam_in_fan: {} }, { seated: laid.seated, fans: [] }, new Set());
      numbers.showSpace(laid.lingual_mm);
      by("fits").textContent = laid.does_not_fit ?? "";
    } catch (error) {
      by("fits").textContent = error.message;
    }
  }
  asking = false;
}

export async function expose() {
  if (of === null || by("expose").disabled) return;
  by("expose").disabled = true;
  const asked = of;
  try {
    const body = JSON.stringify({ ...numbers.settings(), ...ofThisTurn });
    count(await json(asked.place("/exposure"), { method: "POST", headers: { "content-type": "application/json" }, body }));
    by("fits").textContent = "";
  } catch (error) {
    by("fits").textContent = error.message;
  }
  by("expose").disabled = taken >= asked.given.most_exposures;
}

// How many films there are; the newest is shown, the others by their numbers.
function count({ exposures, said }) {
  taken = exposures;
  by("exposures").textContent = said || "no film yet; each is shown once it is exposed";
  by("taken").replaceChildren(...Array.from({ length: taken }, (_, k) => pick(k + 1)));
  by("film-figure").hidden = taken === 0;
  if (of === null) return;
  by("expose").disabled = taken >= of.given.most_exposures;
  if (taken) show(taken);
  of.told();
}

function pick(which) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = `Film ${which}`;
  button.addEventListener("click", () => show(which));
  return button;
}

function show(which) {
  const address = of.place(`/exposed/${which}.png`), said = (words) => { if (by("film").src.endsWith(address)) by("film-words").textContent = words; };
  by("film").src = address;
  by("film").alt = `Film ${which} of those you exposed, to be looked at`;
  said(`Film ${which} is being made.`);
  by("film").decode().then(() => said(`Film ${which}`), () => said(`Film ${which} did not come: press its number once more.`));
  for (const [k, button] of [...by("taken").children].entries()) button.setAttribute("aria-pressed", String(k + 1 === which));
}

// After the commit: the films stay, the hand rests.
export function rest() {
  by("aiming").hidden = true;
}
