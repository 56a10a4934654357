// A person corrects the number of a proposed tooth, or says that the numbers are right.
import { laid, marksOf, mmOf } from "./laid.js";
import * as marks from "./marks.js";
import { choices, codeOf, missingBetween, numbersRight, numbersWords, renumbered } from "./numbers.js";
import { by, tell } from "./page.js";
import { changeAll, moving } from "./placing.js";
import { doubted, isNumbersAsked, left, many, missingWords } from "./proposals.js";
import { missing } from "./wanted.js";

let tooth = null;

// While the numbers are asked for and no mark is left to look at, those that were looked at can be named otherwise too.
const isNamed = (mark) => mark?.state === "proposed" || Boolean(mark?.state && !left().length && isNumbersAsked());

// The tooth of the mark in focus, to be named otherwise; null: none.
export function show(name) {
  const given = marksOf(laid.film);
  tooth = isNamed(given[name]) ? codeOf(name) : null;
  by("tooth-number-row").hidden = tooth === null;
  by("numbers-right").hidden = !isNumbersAsked() && !Object.keys(numbersRight(given)).length;
  const gone = missingWords(missingBetween(given));
  by("numbers-right").textContent = `The numbers are right${gone && `, ${gone}`}: ${numbersWords(given)}`;
  if (tooth === null) return;
  by("tooth-number").replaceChildren(...choices(tooth).map((code) => new Option(code, code, code === tooth, code === tooth)));
  by("tooth-number").dataset.mark = name;
}

by("tooth-number").addEventListener("change", () => {
  const to = Number(by("tooth-number").value), from = tooth;
  const name = by("tooth-number").dataset.mark;
  if (from === null || to === from) return;
  moving.endAll();
  const { stays, beyond, changed, teeth } = renumberedHere(from, to);
  if (!changed) {
    by("tooth-number").value = from;
    tell(beyond ? `Not renumbered: a neighbour of tooth ${from} would get a number beyond the canine or the third molar. Take its marks off first.` : `Not renumbered: tooth ${stays} has marks that a person has looked at, so its number stays. Change that tooth first.`, true);
    return;
  }
  changeAll(changed, { numbers: "asked" });
  const others = teeth.length - 1;
  tell(`Tooth ${from} is now ${to}${others ? `, and ${many(others, "neighbour")} moved along` : ""}. U takes that back.`);
  marks.focus(`${to}${name.slice(2)}`);
});

// What came of proposed marks and was looked at moves along only once no other is left: its place was looked at, not its number.
function renumberedHere(from, to) {
  const given = marksOf(laid.film);
  if (left().length) return renumbered(given, from, to, mmOf(laid.film));
  const movable = Object.fromEntries(Object.entries(given).map(([name, mark]) => [name, mark.state ? { ...mark, state: "proposed", was: mark.state } : mark]));
  const made = renumbered(movable, from, to, mmOf(laid.film));
  for (const [name, mark] of Object.entries(made.changed ?? {})) {
    if (mark === null) continue;
    const { was, ...others } = mark;
    made.changed[name] = { ...others, state: was };
  }
  return made;
}

// The teeth are numbered right, as a person says: then one without a mark between others is missing, as the button told.
export function confirmNumbers() {
  moving.endAll();
  const gone = missingBetween(marksOf(laid.film));
  changeAll(numbersRight(marksOf(laid.film)), { numbers: "right", absent_teeth: [...new Set([...missing(), ...gone])].sort() });
  const more = gone.length ? ` ${missingWords(gone)}: where one stands after all, say so under Marks.`.replace(/[^ ]/, (c) => c.toUpperCase()) : "";
  tell(`The numbers are confirmed.${more}${doubted().length ? " Marks that are doubted for another reason are still to be looked at." : ""}`);
  (doubted().length || !left().length ? by("stage") : by("confirm-rest")).focus();
}
