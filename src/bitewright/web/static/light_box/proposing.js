// Marks are proposed by the server; here they take the place of the film's, for a person to look at.
import { json } from "../fetched.js";
import { changes, saves } from "./keeping.js";
import { here, isOnStage, laid, marksOf } from "./laid.js";
import { by, mayWrite, tell } from "./page.js";
import { changeAll, moving, toothMissing } from "./placing.js";
import { isWaiting, many } from "./proposals.js";
import { missing } from "./wanted.js";

let asking = null;
let label = ""; // of the film that is asked for

export async function propose() {
  if (!mayWrite || asking) return;
  moving.endAll();
  const count = Object.keys(marksOf(laid.film)).length;
  if (!laid.film.marks.view) {
    tell("Choose the view first: what the film was taken for.", true);
    return;
  }
  if (count && !mayReplace(count)) return;
  await proposed(missing());
}

const mayReplace = (count) => confirm(`Put proposed marks in the place of the ${many(count)} of this film? U brings ${count === 1 ? "it" : "them"} back.`);

// A tooth is said to be missing. What waits was numbered without knowing it, so marks are proposed anew.
by("missing-tooth").addEventListener("change", async (event) => {
  const code = Number(event.target.value);
  if (!code || !mayWrite || asking) return;
  if (!isWaiting()) {
    toothMissing(code);
    return;
  }
  moving.endAll();
  const looked = Object.values(marksOf(laid.film)).filter((mark) => mark.state !== "proposed").length;
  if (looked && !mayReplace(Object.keys(marksOf(laid.film)).length)) {
    event.target.value = "";
    return;
  }
  await proposed([...missing(), code].sort());
});

async function proposed(absent) {
  const { id } = laid.film;
  asking = new AbortController();
  ({ label } = laid.film);
  const { signal } = asking;
  by("proposing").hidden = false;
  tell("Looking at the film; this takes some seconds.");
  try {
    await saves.settled(id); // the server goes by the view and the receptor that it has
    const before = changes();
    const made = await json(here(`/proposal?${new URLSearchParams(absent.map((code) => ["missing", code]))}`), { signal });
    if (!isOnStage(id)) return;
    if (changes() !== before) tell("The film's marks were changed meanwhile, so nothing is proposed: ask again.", true);
    else if (made.marks === null) tell(made.sentences.join(" "), true);
    else {
      const gone = Object.keys(marksOf(laid.film)).map((name) => [name, null]);
      changeAll({ ...Object.fromEntries(gone), ...made.marks.marks }, { proposed: made.marks.proposed, numbers: "asked", absent_teeth: absent });
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
