// Steps through the settings that have been: Back and forward of the browser, and undo, are one thing.
let step = history.state?.step ?? 0;
let isFirst = true;
let pressed = false;
let due = null;
let went = () => {};

export function onStep(act) {
  went = act;
}

// Keep an address as a step once the hand is off; the page's first one takes the place of what was typed.
export function keep(address) {
  if (pressed) {
    due = address;
    return;
  }
  due = null;
  if (isFirst) history.replaceState({ step }, "", address);
  else if (address !== location.pathname + location.search) {
    step += 1;
    history.pushState({ step }, "", address);
  }
  isFirst = false;
}

export function undo() {
  if (step > 0) history.back();
  return step > 0;
}

addEventListener("popstate", (event) => {
  step = event.state?.step ?? 0;
  due = null;
  went();
});
addEventListener("pointerdown", () => (pressed = true), true);
for (const end of ["pointerup", "pointercancel"]) {
  addEventListener(end, () => {
    pressed = false;
    if (due !== null) keep(due);
  }, true);
}
