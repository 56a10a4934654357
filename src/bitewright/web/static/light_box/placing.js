// Marks put down, moved, taken away, taken back: by hand, by key, on the border of a crown where that is sure.
import { borderAt, remember } from "./borders.js";
import { keep } from "./keeping.js";
import { laid, marksOf, titleOf, words } from "./laid.js";
import * as marks from "./marks.js";
import { by, tell } from "./page.js";
import { isWaiting, left } from "./proposals.js";
import { isCrest } from "./seeing.js";
import { Settling } from "./settling.js";
import { missing, nextName } from "./wanted.js";

const SETTLE_MS = 350;
let done = []; // what each change took the place of, for undo: marks by name and what was said beside them, or all marks
let current = null;

export const moving = new Settling(SETTLE_MS, (name, at) => change(name, seen(name, at)));
const seen = (name, [x, y]) => ({ x_px: Math.round(x * 4) / 4, y_px: Math.round(y * 4) / 4, status: "seen", ...corrected(marksOf(laid.film)[name]) });

// A mark that was proposed says so once a person has moved it; the spread that was proposed with it goes.
function corrected(was) {
  if (!was?.state) return {};
  return was.doubt ? { state: "corrected", doubt: was.doubt } : { state: "corrected" };
}

// What was done to other marks cannot be taken back from these.
export function forgetDone() {
  done = [];
}

export function inFocus(name) {
  current = name;
}

// What a key was moving has come to rest once anything else is changed.
export const change = (name, mark) => changeAll({ [name]: mark });

// Several at once, which one undo takes back; null takes a mark away. `said`: what is said beside them otherwise than before.
export function changeAll(changed, said = {}) {
  moving.endAll();
  done.push(before(Object.keys(changed)));
  setMarks(changed, said);
}

const beside = () => ({ proposed: laid.film.marks.proposed, numbers: laid.film.marks.numbers, absent_teeth: missing() });
const before = (names) => ({ marks: Object.fromEntries(names.map((name) => [name, marksOf(laid.film)[name] ?? null])), said: beside() });

// All that is said of the film's marks at once, as a file has it.
export function replaceAll(next) {
  moving.endAll();
  done.push({ whole: laid.film.marks });
  keep(next);
}

export function remove(name) {
  moving.forget(name);
  change(name, null);
  tell(`Took off ${words()[name] ?? titleOf(name)}. U brings it back.`);
}

function setMarks(changed, said = {}) {
  const given = { ...marksOf(laid.film), ...changed };
  for (const name of Object.keys(changed)) if (changed[name] === null) delete given[name];
  const { proposed, numbers, absent_teeth } = { ...beside(), ...said };
  const { proposed: first, numbers: answered, absent_teeth: stood, ...others } = laid.film.marks;
  keep({ ...others, ...(proposed && { proposed }), ...(numbers && { numbers }), ...(absent_teeth.length && { absent_teeth }), marks: given });
}

export function undo() {
  moving.endAll();
  tell("");
  const last = done.pop();
  if (last?.whole) keep(last.whole);
  else if (last) setMarks(last.marks, last.said);
  else tell("Nothing was changed here since the film was opened: there is nothing to undo.");
}

export function placeNext(at, event = null) {
  const { film } = laid;
  const name = nextName();
  if (name === null) {
    if (isWaiting()) tell(left().length ? "Look at the proposed marks first; then those that are missing are asked for." : "Say first whether the teeth are numbered right; then the marks that are missing are asked for.");
    else tell(film.marks.view ? "Every mark is placed; drag one to move it, or remove it in the list." : "Choose the view first.", !film.marks.view);
    return;
  }
  if (at[0] < 0 || at[1] < 0 || at[0] > film.columns || at[1] > film.rows) return;
  current = name;
  tell(`Placed ${words()[name]}.`);
  putDown(name, at, event);
}

// Where the hand put it, at once; on the crown's border, if that is sure, a moment later.
export async function putDown(name, at, event = null) {
  moving.forget(name);
  change(name, seen(name, at));
  if (event !== null && snaps(event) && marks.isContact(name)) await toBorder(name);
}

const snaps = (event) => by("snap").getAttribute("aria-pressed") === "true" && !event.altKey && !event.shiftKey;

export const currentToBorder = () => toBorder(current, true);

async function toBorder(name, asked = false) {
  const given = laid.film && marksOf(laid.film)[name];
  if (given?.x_px === undefined) return;
  const { id } = laid.film;
  try {
    const found = await borderAt(name, given);
    const now = marksOf(laid.film)[name];
    if (laid.film.id !== id || now?.x_px !== given.x_px || now?.y_px !== given.y_px) return;
    if (found.snapped) {
      remember(name, found);
      if (asked) done.push({ marks: { [name]: given }, said: beside() });
      const { sd_mm, ...rest } = given;
      setMarks({ [name]: { ...(given.state ? rest : given), ...corrected(given), x_px: found.x_px, y_px: found.y_px } });
    }
    if (found.snapped || asked) tell(`${words()[name] ?? titleOf(name)}: ${found.sentence}`.replace(/^./, (c) => c.toUpperCase()));
  } catch (error) {
    // A film that says no size of a pixel can be marked all the same.
    if (asked) tell(error.message, true);
  }
}

// The next mark lies outside the film, or under something.
export function without(status) {
  const name = nextName();
  if (name) change(name, { status });
}

// The tooth that is asked for is missing: nothing is asked of it any more; what its neighbours show there is.
export function toothMissing(code = null) {
  const tooth = code ? String(code) : nextName()?.slice(0, 2);
  if (!tooth) return;
  const own = Object.keys(marksOf(laid.film)).filter((each) => each.startsWith(`${tooth}.`));
  moving.endAll();
  done.push(before(own));
  setMarks(Object.fromEntries(own.map((each) => [each, null])), { absent_teeth: [...missing(), Number(tooth)] });
  tell(`${tooth} is missing: the surfaces that face each other across its space are asked for instead.`);
}

// It stands after all.
export function toothThere(code) {
  moving.endAll();
  done.push(before([]));
  setMarks({}, { absent_teeth: missing().filter((each) => each !== code) });
}

// The crest that is asked for is seen, wherever it lies.
export function crestSeen() {
  if (isCrest(nextName())) without("shown");
}
