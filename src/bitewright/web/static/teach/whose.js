// Whose answers these are: a code stays in its tab, and whoever sits down next begins anew.
import { fetched } from "../fetched.js";

const CODE = "student", TURN = "student-turn";
const row = document.getElementById("whose");
const turn = row.dataset.turn;

// A code that was typed in another's turn is none of this one's.
if ((sessionStorage.getItem(TURN) ?? "") !== turn) sessionStorage.removeItem(CODE);
sessionStorage.setItem(TURN, turn);

// A page of an earlier turn is never shown again: neither by going back to it nor in another tab.
const turns = new BroadcastChannel("bitewright-turns");
turns.addEventListener("message", () => location.reload());
addEventListener("pageshow", (event) => { if (event.persisted && sessionStorage.getItem(TURN) !== turn) location.reload(); });

export const code = () => sessionStorage.getItem(CODE) ?? "";
export const ofThisTurn = { turn };

export function keepCode(student) {
  sessionStorage.setItem(CODE, student);
  tell();
}

function tell() {
  const given = code();
  document.getElementById("whose-words").textContent = given ? `You answer as ${given}.` : "You answer without a code.";
  row.hidden = row.dataset.answered === "0" && !given;
}

document.getElementById("not-you").addEventListener("click", async () => {
  const words = document.getElementById("whose-words");
  try {
    await fetched("/teach/turn", { method: "POST" });
  } catch (error) {
    words.textContent = error.message;
    return;
  }
  turns.postMessage("handed on");
  sessionStorage.removeItem(CODE);
  history.replaceState(null, "", location.pathname);
  location.reload();
});

tell();
