// How far the mouth for the film is built: shown while it takes, stopped when asked.
import { Latest } from "../latest.js";

const POLL_MS = 300;
const box = document.getElementById("build");
const bar = document.getElementById("build-bar");
const words = document.getElementById("build-words");
const stop = document.getElementById("build-stop");
const again = document.getElementById("build-again");
let address = "";
let state = "done";
const watches = new Latest();
let wanted = () => {};

const ask = async (rest = "", method = "GET") => (await fetch(`/bench/build${rest}?${address}`, { method, headers: { accept: "application/json" } })).json();

export const isStopped = () => state === "stopped";

export function onWanted(act) {
  wanted = act;
}

// Watch the build of what lies on the bench now; one that nobody waits for any more is stopped.
export async function watch(chosen) {
  const isLast = watches.begin();
  if (state === "working" && chosen !== address) await ask("/stop", "POST");
  address = chosen;
  state = "waiting";
  show({ state });
  await ask("/again", "POST");
  poll(isLast);
}

async function poll(isLast) {
  for (;;) {
    await new Promise((done) => setTimeout(done, POLL_MS));
    if (!isLast()) return;
    try {
      const found = await ask();
      if (!isLast()) return;
      state = found.state;
      show(found);
    } catch {
      return; // The wires tell that the server has gone.
    }
    if (state === "done" || state === "stopped") return;
  }
}

function show({ state: now, doing = "", done = 0, of = 0 }) {
  box.hidden = now === "done" || now === "waiting" || (now === "working" && of === 0);
  bar.hidden = now !== "working";
  stop.hidden = now !== "working";
  again.hidden = now !== "stopped";
  bar.max = Math.max(of, 1);
  bar.value = done;
  words.textContent = now === "stopped" ? "The film was stopped. Drawings and numbers go on without it." : `The mouth for the film is built once: ${doing}, ${done} of ${of} steps.`;
}

stop.addEventListener("click", async () => {
  state = "stopped";
  show(await ask("/stop", "POST"));
  show({ state });
  again.focus();
});
again.addEventListener("click", async () => {
  await watch(address);
  wanted();
});
