// Marks are proposed by the server; here they take the place of the film's, for a person to look at.
import { json } from "../fetched.js";
import { changes, saves } from "./keeping.js";
import { here, isOnStage, laid, marksOf } from "./laid.js";
import { by, mayWrite, tell } from "./page.js";
import { changeAll, moving } from "./placing.js";
import { many } from "./proposals.js";

let asking = null;
let label = ""; // of the film that is asked for

export async function propose() {
  if (!mayWrite || asking) return;
  moving.endAll();
  const { id, marks } = laid.film;
  const count = Object.keys(marksOf(laid.film)).length;
  if (!marks.view) {
    tell("Choose the view first: what the film was taken for.", true);
    return;
  }
  if (count && !confirm(`Put proposed marks in the place of the ${many(count)} of this film? U brings ${count === 1 ? "it" : "them"} back.`)) return;
  asking = new AbortController();
  ({ label } = laid.film);
  const { signal } = asking;
  by("proposing").hidden = false;
  tell("Looking at the film; this takes some seconds.");
  try {
    await saves.settled(id); // the server goes by the view and the receptor that it has
    const before = changes();
    const made = await json(here("/proposal"), { signal });
    if (!isOnStage(id)) return;
    if (changes() !== before) tell("The film's marks were changed meanwhile, so nothing is proposed: ask again.", true);
    else if (made.marks === null) tell(made.sentences.join(" "), true);
    else {
      const gone = Object.keys(marksOf(laid.film)).map((name) => [name, null]);
      changeAll({ ...Object.fromEntries(gone), ...made.marks.marks }, { proposed: made.marks.proposed, numbers: "asked" });
      tell(made.sentences.join(" "));
    }
  } catch (error) {
    if (error.name !== "AbortError") tell(error.message, true);
  } finally {
    asking = null;
    by("proposing").hidden = true;
  }
}

// Another film is chosen, or nobody waits any more: which film was asked for, null where none was.
export function stop() {
  if (!asking) return null;
  asking.abort();
  return label;
}

export function cancel() {
  stop();
  tell("Nothing is proposed: it was cancelled.");
}
