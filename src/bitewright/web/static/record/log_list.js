// The list under the form: filters, more rows, one exposure opened to decide on it or correct it.
import { fetched, json } from "../fetched.js";
import { Latest } from "../latest.js";
import { newKey } from "./entry_fields.js";

const by = (id) => document.getElementById(id);
const filters = by("filters");
const latest = new Latest();
let last = 50;
let correct = () => {};
let key = newKey();

// `act({number, texts})`: the button Correct of the exposure that is open.
export function onCorrect(act) {
  correct = act;
}

const asked = () => {
  const given = new URLSearchParams([...new FormData(filters)].filter(([, value]) => value));
  given.set("last", last);
  return given;
};

async function part(address) {
  return (await fetched(address, { headers: { accept: "application/json" } })).text();
}

export async function listAgain() {
  const isLast = latest.begin();
  try {
    const html = await part(`/record/log/list?${asked()}`);
    if (isLast()) by("list").innerHTML = html;
  } catch (error) {
    if (isLast()) by("list").replaceChildren(Object.assign(document.createElement("p"), { className: "wrong", textContent: error.message }));
  }
}

async function open(number, { focus = true } = {}) {
  by("one").innerHTML = await part(`/record/log/exposures/${number}`);
  key = newKey();
  if (focus) by("one-title").focus();
}

filters.addEventListener("change", () => {
  last = 50;
  listAgain();
});
filters.addEventListener("submit", (event) => event.preventDefault());

function days(value) {
  for (const name of ["since", "until"]) filters.elements[name].value = value;
  last = 50;
  listAgain();
}
by("today").addEventListener("click", () => days(by("entry").elements.day.max));
by("every").addEventListener("click", () => days(""));

by("list").addEventListener("click", (event) => {
  const number = event.target.closest("[data-open]")?.dataset.open;
  if (number) open(number);
  if (event.target.closest("#more-rows")) {
    last = Math.min(10 * last, 2000);
    listAgain();
  }
});

by("one").addEventListener("click", (event) => {
  const panel = by("one").querySelector("section");
  if (event.target.closest("#close-one")) {
    by("one").replaceChildren();
    by("list-said").focus();
  } else if (event.target.closest("#correct")) {
    correct({ number: panel.dataset.number, texts: JSON.parse(event.target.closest("#correct").dataset.texts) });
  }
});

by("one").addEventListener("submit", async (event) => {
  event.preventDefault();
  const { number } = by("one").querySelector("section").dataset;
  const given = Object.fromEntries([...new FormData(event.target)].map(([name, value]) => [name, value.trim()]));
  try {
    const done = await json(`/record/log/exposures/${number}/decision`, { method: "POST", body: JSON.stringify({ ...given, key }), headers: { "content-type": "application/json" } });
    await Promise.all([open(number), listAgain()]);
    by("said").textContent = done.said;
  } catch (error) {
    by("one-wrong").textContent = error.message;
  }
});
