// Marks of the film on the stage: shown at once, kept in the page until the server has them; two pages may change one.
import { json } from "../fetched.js";
import * as conflict from "./conflict.js";
import * as drafts from "./drafts.js";
import { refresh } from "./film_sheet.js";
import { find, isOnStage, laid, renew, titleOf, toStage } from "./laid.js";
import { MarkSaves, isAway } from "./mark_saves.js";
import { measure } from "./measuring.js";
import * as mount from "./mount.js";
import { by, mayWrite, sent, tell } from "./page.js";
import { withNumbers } from "./proposals.js";
import { hasRingAnswers, withoutRingAnswers } from "./ring_answers.js";
import { differences, together } from "./versions.js";

const conflicts = new Map(); // the film as the server has it, by number
const asking = new Map(); // newest marks, by number, while the server is asked what it has
const unanswered = new Map(); // marks that were sent and whose answer was lost, by number
let edits = 0;
let replaced = () => {};

// How often marks were changed here: what was asked for before the last time is too late.
export const changes = () => edits;
export const isInConflict = (id) => conflicts.has(id);
export const isAsking = (id) => asking.has(id);

// `act()`: marks from elsewhere took the place of those on the stage.
export function onReplaced(act) {
  replaced = act;
}

const hasNoRing = (holder) => [...by("holder").options].some((option) => option.value === holder && option.dataset.ring === "no");

// Shown at once, and kept whichever film is chosen meanwhile.
export function keep(given) {
  if (!mayWrite) {
    tell("A link for a class shows marks and what they tell; it changes none.");
    refresh();
    return;
  }
  const isRingless = hasNoRing(given.holder) && hasRingAnswers(given);
  const next = withNumbers(isRingless ? withoutRingAnswers(given) : given);
  if (isRingless) tell("This holder has no ring: what was answered of rim and ring was left out.");
  laid.film = { ...laid.film, marks: next };
  edits += 1;
  refresh();
  const { id, marks_version: version } = laid.film;
  if (asking.has(id)) asking.set(id, next);
  if (conflicts.has(id) || asking.has(id)) drafts.put(id, { version, marks: next });
  else saves.keep(id, version, next);
  showConflict();
}

export const saves = new MarkSaves({
  send: (id, version, given) => json(`/light-box/films/${id}/marks`, sent("PUT", { version, marks: given })),
  saved: (id, { marks_version, wanted, titles }) => {
    unanswered.delete(id);
    renew(id, { marks_version, wanted, titles });
    if (!isOnStage(id)) {
      mount.lay(laid.films, laid.film?.id ?? null);
      return;
    }
    refresh();
    if (!saves.isBehind(id)) measure(); // else of marks that are no longer the newest
  },
  refused: (id, error, ours, tried) => {
    if (error.status === 409) changedElsewhere(id, ours, tried).catch((problem) => tell(problem.message, true));
    else tell(error.message, true);
  },
  delayed: showUnsaved,
  drafts,
});

// Marks may be set, and the film may leave the stage, while the server is asked: none of them is lost.
async function changedElsewhere(id, ours, tried) {
  const own = [...(unanswered.get(id) ?? []), ...tried, ours];
  asking.set(id, ours);
  let theirs = null;
  try {
    theirs = await json(`/light-box/films/${id}`);
  } catch (error) {
    if (!isAway(error)) throw error;
  } finally {
    ours = asking.get(id);
    asking.delete(id);
  }
  if (!theirs) {
    unanswered.set(id, own);
    saves.keep(id, find(id).marks_version, ours);
    return;
  }
  unanswered.delete(id);
  if (!differences(ours, theirs.marks).length) {
    drafts.drop(id); // an answer was lost, not the marks
    adopt({ ...theirs });
    return;
  }
  renew(id, { marks: ours });
  if (own.some((given) => !differences(given, theirs.marks).length)) {
    // The change is this page's own, whose answer was lost: what was set since goes on top of it.
    renew(id, { marks_version: theirs.marks_version });
    saves.keep(id, theirs.marks_version, ours);
    return;
  }
  conflicts.set(id, theirs);
  if (isOnStage(id)) showConflict();
  else tell(`${theirs.label} was changed on another page too: open it to choose which version is to stay.`, true);
}

export function showConflict() {
  const { id, marks } = laid.film;
  const theirs = conflicts.get(id);
  if (!theirs) {
    conflict.hide();
    return;
  }
  conflict.show(marks, theirs.marks, (name) => (name.includes(".") ? titleOf(name) : name.replaceAll("_", " ")), (which) => {
    conflicts.delete(id);
    drafts.drop(id);
    conflict.hide();
    if (which === "there") {
      adopt(theirs);
      return;
    }
    laid.film = { ...laid.film, marks_version: theirs.marks_version };
    keep(which === "here" ? laid.film.marks : together(laid.film.marks, theirs.marks));
  });
}

// A film as the server has it takes the place of ours.
function adopt(theirs) {
  if (!isOnStage(theirs.id)) {
    renew(theirs.id, theirs);
    return;
  }
  toStage(theirs);
  replaced();
  refresh();
  measure();
}

function showUnsaved(waiting) {
  by("unsaved").hidden = !waiting.size;
  if (!waiting.size) return;
  const isShut = [...waiting.values()].some((error) => error.status === 403);
  const count = waiting.size === 1 ? "The marks of one film are" : `The marks of ${waiting.size} films are`;
  const why = isShut ? "This browser is not let in any more: open a link from `bitewright link` in it." : "The server does not answer.";
  by("unsaved-why").textContent = `${why} ${count} kept in this page, over a reload too, and sent again by themselves. Do not close it.`;
}
addEventListener("online", () => saves.again());
addEventListener("beforeunload", (event) => {
  if (!by("unsaved").hidden) event.preventDefault();
});

// What an earlier page could not send goes on its way from this one.
const unsent = new Map(drafts.all());
export function withDraft(of) {
  const draft = unsent.get(of.id);
  if (!draft) return of;
  unsent.delete(of.id);
  saves.keep(of.id, draft.version, draft.marks, draft.sent);
  return { ...of, marks: draft.marks, marks_version: draft.version };
}
