// What a person says of films: name, visit, size of a pixel, view and equipment; of one or of several.
import { fetched, json } from "../fetched.js";
import * as drafts from "./drafts.js";
import { refresh } from "./film_sheet.js";
import { keep, saves } from "./keeping.js";
import { find, here, laid, renew } from "./laid.js";
import * as measuring from "./measuring.js";
import * as mount from "./mount.js";
import { turned } from "./numbers.js";
import { by, sent, tell } from "./page.js";
import { moving, replaceAll } from "./placing.js";
import { settled } from "./stage.js";

let chosenFilms = [];

for (const name of ["view", "receptor", "holder", "mounting"]) {
  by(name).addEventListener("change", () => laid.film && chosenOtherwise(name, by(name).value || undefined));
}

// Marks that are only proposed follow the side and the mounting that a person corrects.
function chosenOtherwise(name, value) {
  moving.endAll();
  const was = laid.film.marks, now = { ...was, [name]: value };
  const changed = turned(was.marks ?? {}, was, now);
  if (!Object.keys(changed).length) {
    keep(now);
    return;
  }
  const kept = Object.entries({ ...was.marks, ...changed }).filter(([, mark]) => mark !== null);
  replaceAll({ ...now, numbers: "asked", marks: Object.fromEntries(kept) });
  tell("The proposed marks took the other side's numbers: look at them anew. U takes that back.");
}

by("film-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  const { label, visit, pixel_mm } = Object.fromEntries(new FormData(event.target));
  document.activeElement.blur();
  try {
    if (label !== laid.film.label || visit !== laid.film.visit) renamed(await json(here(), sent("PATCH", { label, visit })));
    if ((laid.film.marks.pixel_mm ?? "") !== (pixel_mm ? Number(pixel_mm) : "")) keep({ ...laid.film.marks, pixel_mm: pixel_mm ? Number(pixel_mm) : undefined });
    tell("Kept.");
  } catch (error) {
    tell(error.message, true);
  }
});

function renamed({ id, label, visit }) {
  renew(id, { label, visit });
  refresh();
}

by("visit").value = drafts.remembered("visit") ?? by("visit").value;
by("visit").addEventListener("change", () => drafts.remember("visit", by("visit").value));

// ---------------------------------------------------------------- several films at once
mount.onSeveral((isSeveral, chosen) => {
  chosenFilms = chosen;
  by("chosen").hidden = !isSeveral;
  by("chosen-count").textContent = `${chosen.length} chosen`;
});
by("choose-all").addEventListener("click", mount.chooseAll);
by("chosen").addEventListener("submit", async (event) => {
  event.preventDefault();
  await eachChosen(async ({ id }) => renamed(await json(`/light-box/films/${id}`, sent("PATCH", { label: find(id).label, visit: by("chosen-visit").value }))));
});
by("chosen-remove").addEventListener("click", async () => {
  const count = chosenFilms.length;
  if (!count || !confirm(`Take ${count === 1 ? "this film and its" : `these ${count} films and their`} marks off the light box? They are not kept elsewhere.`)) return;
  if (await eachChosen(takeOff)) location.reload();
});

async function eachChosen(act) {
  try {
    for (const each of chosenFilms) await act(each);
    return true;
  } catch (error) {
    tell(error.message, true);
    return false;
  }
}

async function takeOff({ id }) {
  measuring.stop();
  mount.leave();
  moving.endAll();
  await saves.settled(id);
  await settled(); // a film on its way is not asked for once it is gone
  measuring.stop(); // what was saved meanwhile asked anew
  await fetched(`/light-box/films/${id}`, { method: "DELETE" });
}

export async function removeFilm() {
  if (!confirm("Take this film and its marks off the light box? They are not kept elsewhere.")) return;
  try {
    await takeOff(laid.film);
  } catch (error) {
    tell(error.message, true);
    return;
  }
  location.reload();
}
