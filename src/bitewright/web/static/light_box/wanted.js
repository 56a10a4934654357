// Which mark is asked for next, and what is said of it.
import { aimAt, isOutside } from "./aiming.js";
import { laid, marksOf, words } from "./laid.js";
import * as looking from "./looking.js";
import { isContact } from "./marks.js";
import { by, mayWrite } from "./page.js";
import { isWaiting } from "./proposals.js";

let leftForLater = new Set();

export function nextName() {
  if (!mayWrite || isWaiting()) return null; // what is proposed is looked at first
  const given = marksOf(laid.film);
  return wanted().map((w) => w.name).find((name) => !(name in given) && !leftForLater.has(name)) ?? null;
}

// Teeth told to be missing, of which nothing is asked: also before the server has said what is asked instead.
export const missing = () => laid.film.marks.absent_teeth ?? [];
const wanted = () => laid.film.wanted.filter((w) => !missing().includes(Number(w.name.slice(0, 2))));

export function later() {
  const name = nextName();
  if (!name) return;
  leftForLater.add(name);
  showNext();
}

export function forgetLater() {
  leftForLater = new Set();
}

export function showNext() {
  const name = nextName();
  const place = by("next");
  place.replaceChildren();
  place.dataset.name = name ?? "";
  by("stage-of-marking").textContent = "";
  aimAt(name, () => laid.film && showNext());
  if (!mayWrite) place.textContent = "A link for a class shows films, their marks and what they tell. The teacher's own link marks them.";
  else if (!laid.film.marks.view) place.textContent = "Choose the view: what the film was taken for. Then the marks are asked for one by one.";
  else if (isWaiting()) looking.show(place);
  else if (name === null) showNoneNext(place);
  else {
    const bold = document.createElement("b");
    bold.textContent = `Next: ${words()[name]}`;
    by("stage-of-marking").textContent = stageWords(name);
    const lies = isOutside() ? "By the marks so far it lies outside the film: O says so. Else click it" : "Click it";
    if (name.endsWith(".crest")) place.append(bold, "C: seen, with bone beyond it. O: cut off. H: cannot be seen. A click on its place, or digits and Enter, measures it too.");
    else place.append(bold, `${lies}, or press a digit for the field it lies in, as on a number pad, or the arrow keys; Enter places it.`);
  }
}

// How far the first marks are, which tell every overlap, and what the others are for.
function stageWords(name) {
  if (name.endsWith(".crest")) return "Every contact is marked or left for later. Now the bone crests, a key for each.";
  if (!isContact(name)) return "Contacts and crests are done. What follows tells more of how tube and receptor stood.";
  const edges = wanted().filter((w) => isContact(w.name));
  return `First the contacts, which tell the overlaps: ${edges.filter((w) => w.name in marksOf(laid.film)).length} of ${edges.length} edges are marked.`;
}

function showNoneNext(place) {
  const left = wanted().filter((w) => !(w.name in marksOf(laid.film))).length;
  if (left === 0) {
    place.textContent = "Every mark is placed. Read what it shows and why, then keep your decision.";
    return;
  }
  const again = document.createElement("button");
  again.type = "button";
  again.textContent = "Ask for them again";
  again.addEventListener("click", () => {
    forgetLater();
    showNext();
    by("stage").focus();
  });
  place.append(`${left} ${left === 1 ? "mark is" : "marks are"} left for later, every other is placed. `, again);
}
