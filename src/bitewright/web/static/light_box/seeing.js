// What a person sees without putting a mark on its place: bone crests, faults, how rim and ring stood, and what was asked of the chairside.
import { keep } from "./keeping.js";
import { laid, marksOf } from "./laid.js";
import { by, mayWrite } from "./page.js";

export const isCrest = (name) => name?.endsWith(".crest") ?? false;
const boxes = [...document.querySelectorAll("#faults input")];
const rims = [...document.querySelectorAll("#rim input")];
const asked = [...document.querySelectorAll(".chairside input")];
const questionOf = (radio) => radio.closest("fieldset").dataset.question;
const RIM = { yes: true, no: false };
// An edge lies to the front or to the back, a receptor high or low: a yes to one takes a yes to the other away.
const OPPOSITE = { front: "back", back: "front", high: "low", low: "high" };

const seenFaults = () => (laid.film.marks.observations ?? []).map((each) => each.name);
export const crestsLeft = () => laid.film.wanted.filter((w) => isCrest(w.name) && !(w.name in marksOf(laid.film))).map((w) => w.name);

// The film on the stage, as it is kept.
export function refresh(next) {
  const seen = seenFaults();
  for (const box of boxes) {
    box.checked = seen.includes(box.value);
    document.querySelector(`[data-fault="${box.value}"]`).hidden = !box.checked;
  }
  by("fault-count").textContent = seen.length ? `(${seen.length})` : "";
  const { rim_flush } = laid.film.marks;
  for (const radio of rims) radio.checked = (RIM[radio.value] ?? undefined) === rim_flush;
  const { answers = {} } = laid.film.marks;
  for (const radio of asked) radio.checked = (RIM[radio.value] ?? undefined) === answers[questionOf(radio)];
  by("crest-seen").hidden = !isCrest(next);
  by("crests-left").hidden = !mayWrite || !isCrest(next) || crestsLeft().length < 2;
}

export function allCrestsSeen() {
  const added = Object.fromEntries(crestsLeft().map((name) => [name, { status: "shown" }]));
  keep({ ...laid.film.marks, marks: { ...marksOf(laid.film), ...added } });
}

for (const box of boxes) {
  box.addEventListener("change", () => {
    const others = (laid.film.marks.observations ?? []).filter((each) => each.name !== box.value);
    keep({ ...laid.film.marks, observations: box.checked ? [...others, { name: box.value }] : others });
  });
}
for (const radio of rims) {
  radio.addEventListener("change", () => {
    const { rim_flush, ...marks } = laid.film.marks;
    keep(radio.value ? { ...marks, rim_flush: RIM[radio.value] } : marks);
  });
}
for (const radio of asked) {
  radio.addEventListener("change", () => {
    const { answers: given = {}, ...marks } = laid.film.marks;
    const { [questionOf(radio)]: _, ...others } = given;
    const opposite = OPPOSITE[questionOf(radio)];
    if (radio.value === "yes" && others[opposite]) delete others[opposite];
    const answers = radio.value ? { ...others, [questionOf(radio)]: RIM[radio.value] } : others;
    keep(Object.keys(answers).length ? { ...marks, answers } : marks);
  });
}
