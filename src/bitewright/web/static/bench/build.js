// How far the mouth for the film is built: shown while it takes, stopped when asked.
import { json } from "../fetched.js";
import { Latest } from "../latest.js";

const POLL_MS = 300;
const box = document.getElementById("build");
const bar = document.getElementById("build-bar");
const words = document.getElementById("build-words");
const stop = document.getElementById("build-stop");
const again = document.getElementById("build-again");
const watches = new Latest();
let address = "";
let state = "done";
let wanted = () => {};

const ask = (rest = "", method = "GET") => json(`/bench/build${rest}?${address}`, { method });

export const isStopped = () => state === "stopped";

export function onWanted(act) {
  wanted = act;
}

// Watch the build of what lies on the bench now; one that nobody waits for any more is stopped.
export async function watch(chosen) {
  const isLast = watches.begin();
  try {
    if (state === "working" && chosen !== address) await ask("/stop", "POST");
    if (!isLast()) return;
    address = chosen;
    take({ state: "waiting" });
    await ask("/again", "POST");
  } catch (error) {
    if (!error.status) return; // The wires tell that the server has gone; a class may not stop or begin it, but watch.
  }
  if (isLast()) poll(isLast);
}

async function poll(isLast) {
  for (;;) {
    await new Promise((done) => setTimeout(done, POLL_MS));
    if (!isLast()) return;
    try {
      const found = await ask();
      if (!isLast()) return;
      take(found);
    } catch {
      return;
    }
    if (state === "done" || state === "stopped") return;
  }
}

function take({ state: now, doing = "", done = 0, of = 0 }) {
  state = now;
  const isBusy = now === "working" && of > 0;
  const hadFocus = box.contains(document.activeElement);
  bar.hidden = !isBusy;
  bar.max = Math.max(of, 1);
  bar.value = done;
  if (now === "stopped") words.textContent = "The film was stopped. Drawings and numbers go on without it.";
  else if (isBusy) words.textContent = `The mouth for the film is built once: ${doing}, ${done} of ${of} steps.`;
  else if (hadFocus) words.textContent = now === "done" ? "The mouth for the film is built." : "The mouth for the film is about to be built.";
  // What has the focus is not taken from under it: the act goes over to the other button, or stays until it is left.
  const shown = now === "stopped" ? again : stop;
  if (isBusy || now === "stopped") offer(shown, hadFocus);
  else if (!hadFocus) box.hidden = true;
}

function offer(button, hadFocus) {
  box.hidden = button.hidden = false;
  if (hadFocus) button.focus();
  (button === stop ? again : stop).hidden = true;
}

box.addEventListener("focusout", (event) => {
  if (state !== "working" && state !== "stopped" && !box.contains(event.relatedTarget)) box.hidden = true;
});
stop.addEventListener("click", async () => {
  const isLast = watches.begin();
  if (state === "done") return;
  take({ state: "stopped" });
  try {
    await ask("/stop", "POST");
  } catch (error) {
    if (isLast()) words.textContent = error.message;
  }
});
again.addEventListener("click", async () => {
  await watch(address);
  wanted();
});
