// A person corrects the number of a proposed tooth, or says that the numbers are right.
import { refresh } from "./film_sheet.js";
import { laid, marksOf, mmOf } from "./laid.js";
import * as marks from "./marks.js";
import { choices, codeOf, numbersRight, numbersWords, renumbered } from "./numbers.js";
import { by, tell } from "./page.js";
import { changeAll, moving } from "./placing.js";
import { doubted, left, many } from "./proposals.js";

const right = new Map(); // the numbers that a person called right, by film
let tooth = null;

// Geometry alone sees badly that all teeth are named one place off, so a person is always asked.
export const numbersAsked = () => left().length > 0 && right.get(laid.film.id) !== numbersWords(marksOf(laid.film));

// The tooth of the mark in focus, to be named otherwise; null: none.
export function show(name) {
  const given = marksOf(laid.film);
  tooth = given[name]?.state === "proposed" ? codeOf(name) : null;
  by("tooth-number-row").hidden = tooth === null;
  by("numbers-right").hidden = !numbersAsked() && !Object.keys(numbersRight(given)).length;
  by("numbers-right").textContent = `The numbers are right: ${numbersWords(given)}`;
  if (tooth === null) return;
  by("tooth-number").replaceChildren(...choices(tooth).map((code) => new Option(code, code, code === tooth, code === tooth)));
  by("tooth-number").dataset.mark = name;
}

by("tooth-number").addEventListener("change", () => {
  const to = Number(by("tooth-number").value), from = tooth;
  const name = by("tooth-number").dataset.mark;
  if (from === null || to === from) return;
  moving.endAll();
  const { stays, beyond, changed, teeth } = renumbered(marksOf(laid.film), from, to, mmOf(laid.film));
  if (!changed) {
    by("tooth-number").value = from;
    tell(beyond ? `Not renumbered: a neighbour of tooth ${from} would get a number beyond the canine or the third molar. Take its marks off first.` : `Not renumbered: tooth ${stays} has marks that a person has looked at, so its number stays. Change that tooth first.`, true);
    return;
  }
  changeAll(changed);
  const others = teeth.length - 1;
  tell(`Tooth ${from} is now ${to}${others ? `, and ${many(others, "neighbour")} moved along` : ""}. U takes that back.`);
  marks.focus(`${to}${name.slice(2)}`);
});

// The teeth are numbered right, as a person says.
export function confirmNumbers() {
  moving.endAll();
  const given = marksOf(laid.film);
  right.set(laid.film.id, numbersWords(given));
  const settled = numbersRight(given);
  if (Object.keys(settled).length) changeAll(settled);
  else refresh();
  tell(`The numbers are confirmed.${doubted().length ? " Marks that are doubted for another reason are still to be looked at." : ""}`);
  (doubted().length ? by("stage") : by("confirm-rest")).focus();
}
