// The exercises of a set as a row of numbers: where one is, what came out, what is left.
const by = (id) => document.getElementById(id);
let outcomes = [], here = 0;

export function lay(count, go) {
  outcomes = Array(count).fill(null);
  by("course").replaceChildren(...outcomes.map((_, k) => {
    const row = document.createElement("li"), button = document.createElement("button");
    button.type = "button";
    button.addEventListener("click", () => go(k));
    row.append(button);
    return row;
  }));
  draw();
}

export function at(number) {
  here = number;
  draw();
}

export function tell(course) {
  outcomes = course;
  draw();
}

export const firstOpen = () => outcomes.findIndex((each) => each === null);

function draw() {
  for (const [k, button] of [...by("course").querySelectorAll("button")].entries()) {
    const told = outcomes[k];
    const [before, mark, after] = [part("Exercise ", "unseen"), part(told ? sign(told) : ""), part(`: ${told ? told.outcome : "not answered"}`, "unseen")];
    mark.setAttribute("aria-hidden", "true");
    button.replaceChildren(before, String(k + 1), mark, after);
    button.className = told ? (told.score >= 1 ? "right" : told.score > 0 ? "partly" : "wrong") : "";
    if (k === here) button.setAttribute("aria-current", "step");
    else button.removeAttribute("aria-current");
  }
}

function part(words, name = "") {
  const made = document.createElement("span");
  made.textContent = words;
  made.className = name;
  return made;
}

const sign = ({ score }) => (score >= 1 ? " =" : score > 0 ? " ~" : " x");

export function points(sum) {
  const shown = Number(sum.toFixed(1));
  return `${shown} ${shown === 1 ? "point" : "points"}`;
}

export function endTitle() {
  const sum = outcomes.reduce((all, each) => all + (each?.score ?? 0), 0);
  return `The end of the set: ${points(sum)} of ${outcomes.length}`;
}

export function endLeft() {
  const left = outcomes.flatMap((each, k) => (each === null ? [k + 1] : []));
  return left.length ? `Not answered, and counted as nothing: ${left.join(", ")}. The numbers above lead there.` : "All are answered. The numbers above lead back to each, with what was told.";
}
