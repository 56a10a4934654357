// One exercise at a time: look, choose, commit; then see why.
import { json } from "../fetched.js";
import * as aiming from "./aiming.js";
import * as course from "./course.js";
import { hands } from "./hands.js";
import { after, mover } from "./moving.js";
import { code, keepCode, ofThisTurn } from "./whose.js";

const by = (id) => document.getElementById(id);
const root = document.querySelector(".exercise");
const { set } = root.dataset, count = Number(root.dataset.count);
const place = (number, file = "") => `/teach/${set}/${number}${file}`;
const asked = () => Math.min(Math.max(Number(location.hash.slice(1)) - 1 || 0, 0), count - 1);
let number = asked(), isFirst = !location.hash;
let given = null, chosen = null, order = [], moved = null;

const tell = (text, fault = false) => {
  by("say").textContent = text;
  by("say").className = fault ? "fault" : "";
};

async function show() {
  by("sheet").hidden = by("end").hidden = true;
  given = null;
  by("where").textContent = `Exercise ${number + 1} of ${count}`;
  history.replaceState(null, "", `#${number + 1}`);
  course.at(number);
  tell("The exercise is being made.");
  const shown = number;
  try {
    let answer = await json(place(shown));
    while (answer.waiting && shown === number) {
      tell(answer.said);
      answer = await json(place(shown));
    }
    if (shown === number) lay(answer);
  } catch (error) {
    if (shown === number) tell(error.message, true);
  }
}

function go(to) {
  if (to < 0 || to >= count) return;
  number = to;
  show();
  scrollTo(0, 0);
}

function lay(answer) {
  course.tell(answer.course);
  const open = course.firstOpen();
  // Whoever comes back to a set goes on where they were.
  if (isFirst && answer.told && open >= 0) {
    isFirst = false;
    go(open);
    return;
  }
  isFirst = false;
  [given, chosen, order, moved] = [answer, null, [], null];
  tell("");
  by("kind").textContent = given.title;
  by("item-question").textContent = given.question;
  aiming.hide();
  if (!given.bench) {
    by("film").src = place(number, "/film.png");
    by("film").alt = `The film of exercise ${number + 1}, to be looked at`;
    by("film-words").textContent = "The film";
  }
  for (const each of ["best-figure", "yours-figure", "told"]) by(each).hidden = true;
  document.querySelector(".films").classList.remove("two");
  by("answer").reset();
  by("student").value = code();
  by("sure").hidden = by("commit").hidden = by("code").hidden = false;
  by("commit").disabled = true;
  by("choices").replaceChildren(...given.choices.map(choiceRow));
  hands(by("choices"), root.classList.contains("hall"));
  by("moving").hidden = !given.drawing;
  const here = number;
  if (given.bench) aiming.lay(given.bench, (file) => place(here, file), ready);
  if (given.drawing) mover(given.drawing, (movement) => { moved = movement; ready(); });
  by("sheet").hidden = false;
  by("sum").textContent = sumWords(given);
  if (given.told) told(given.told);
  else by("item-question").focus({ preventScroll: true });
}

const sumWords = ({ answered, score }) => (answered ? `${course.points(score)} from ${answered} answered` : "");

function choiceRow(text, k) {
  const row = document.createElement("li"), button = document.createElement("button"), key = document.createElement("kbd");
  const words = document.createElement("span"), mark = document.createElement("span");
  button.type = "button";
  key.textContent = k + 1;
  words.textContent = text;
  mark.className = "mark";
  button.append(key, words, mark);
  button.setAttribute("aria-pressed", "false");
  button.addEventListener("click", () => choose(k));
  row.append(button);
  return row;
}

const buttons = () => [...by("choices").querySelectorAll("button:not(.raise)")];

function choose(k) {
  if (k >= given.choices.length || given.told) return;
  if (given.kind === "order") order = order.includes(k) ? order.filter((each) => each !== k) : [...order, k];
  else chosen = k;
  for (const [index, button] of buttons().entries()) {
    const position = order.indexOf(index);
    button.setAttribute("aria-pressed", String(given.kind === "order" ? position >= 0 : index === chosen));
    button.querySelector(".mark").textContent = position >= 0 ? `${position + 1}.` : "";
  }
  ready();
}

const isReady = () => (given.bench ? aiming.hasFilm() : given.drawing ? moved !== null : given.kind === "order" ? order.length === given.choices.length : chosen !== null);
const ready = () => { by("commit").disabled = !isReady(); };

by("answer").addEventListener("submit", async (event) => {
  event.preventDefault();
  if (!isReady() || given.told) return;
  const sure = by("answer").querySelector("[name=sure]:checked");
  const answer = given.bench ? {} : given.drawing ? moved : given.kind === "order" ? { order } : { chosen };
  by("commit").disabled = true;
  try {
    const student = by("student").value.trim();
    keepCode(student);
    const body = JSON.stringify({ ...answer, ...ofThisTurn, ...(sure ? { sure: Number(sure.value) } : {}), ...(student ? { student } : {}) });
    const made = await json(place(number, "/answer"), { method: "POST", headers: { "content-type": "application/json" }, body });
    given.told = made.told;
    by("sum").textContent = sumWords(made);
    course.tell(made.course);
    tell(made.said);
    told(made.told);
  } catch (error) {
    tell(error.message, true);
    ready();
  }
});

function told(truth) {
  given.told = truth;
  by("sure").hidden = by("commit").hidden = by("moving").hidden = by("code").hidden = true;
  const mine = truth.answer.order ?? [truth.answer.chosen];
  for (const [k, button] of buttons().entries()) {
    const isRight = given.kind === "order" || truth.key.includes(k);
    button.disabled = true;
    button.setAttribute("aria-pressed", String(mine.includes(k)));
    if (given.kind === "order") {
      const should = truth.key.indexOf(k), was = mine.indexOf(k);
      button.className = should === was ? "right" : "wrong";
      button.querySelector(".mark").textContent = should === was ? `${should + 1}. right` : `${should + 1}., not ${was + 1}.`;
    } else {
      button.className = isRight ? "right" : mine.includes(k) ? "wrong" : "";
      button.querySelector(".mark").textContent = isRight ? "right" : mine.includes(k) ? "not right" : "";
    }
  }
  by("outcome").textContent = truth.outcome;
  by("why").replaceChildren(...truth.explanation.map((sentence) => {
    const line = document.createElement("p");
    line.textContent = sentence;
    return line;
  }));
  by("kept").textContent = truth.kept;
  const drawn = truth.drawing;
  by("after").toggleAttribute("hidden", !drawn);
  by("after-words").textContent = drawn ? drawn.seen + (drawn.yours ? " Dotted: after your movement." : "") : "";
  if (drawn) after(by("after"), drawn);
  by("best-figure").hidden = !truth.best;
  if (truth.best) {
    by("best").src = place(number, "/best.png");
    by("best").alt = "The film as it would have been with the best exposure";
  }
  const hasMine = Boolean(drawn?.yours);
  by("yours-figure").hidden = true;
  if (hasMine) {
    tell("The film that your movement would have given is being made.");
    const here = number;
    by("yours").onload = () => {
      if (here !== number) return;
      tell("");
      by("yours-figure").hidden = false;
      document.querySelector(".films").classList.add("two");
    };
    by("yours").onerror = () => here === number && tell("The film that your movement would have given did not come: load the page again.", true);
    by("yours").src = place(number, "/yours.png");
    by("yours").alt = "The film that your movement would have given";
  }
  if (given.bench) aiming.rest();
  else by("film-words").textContent = truth.best ? "As it was" : "The film";
  by("told").hidden = false;
  by("next").textContent = number + 1 < count ? "Next" : "To the end";
  by("outcome").focus({ preventScroll: true });
}

by("next").addEventListener("click", () => {
  if (number + 1 < count) go(number + 1);
  else {
    by("sheet").hidden = true;
    by("end").hidden = false;
    by("end-title").textContent = course.endTitle();
    by("end-left").textContent = course.endLeft();
    by("end-title").focus();
  }
});

course.lay(count, go);
addEventListener("hashchange", () => { if (asked() !== number) go(asked()); });

addEventListener("keydown", (event) => {
  const typing = event.target.closest("dialog, select, input[type=text], input[type=number]");
  const sliding = event.target.closest("input[type=range]") && event.key.toLowerCase() !== "e";
  if (event.ctrlKey || event.metaKey || event.altKey || typing || sliding) return;
  const step = { n: 1, p: -1 }[event.key.toLowerCase()];
  if (step) go(number + step);
  if (step || !given) return;
  const k = Number(event.key);
  const sure = { g: 0, f: 1, c: 2 }[event.key.toLowerCase()];
  if (k >= 1 && k <= 9) choose(k - 1);
  else if (sure !== undefined && !given.told) by("answer").querySelectorAll("[name=sure]")[sure].checked = true;
  else if (event.key.toLowerCase() === "e" && aiming.isAiming() && !given.told) aiming.expose();
  else if (event.key === "Backspace" && order.length && !given.told) choose(order.at(-1));
  else if (event.key === "Enter" && !event.target.closest("a, button, summary")) given.told ? by("next").click() : by("commit").click();
  else return;
  event.preventDefault();
});

by("film").addEventListener("load", () => { by("film-alone").href = by("film").src; });

by("expose").addEventListener("click", () => aiming.expose());

by("hall").addEventListener("click", () => {
  const on = root.classList.toggle("hall");
  by("hall").setAttribute("aria-pressed", String(on));
  hands(by("choices"), on);
});

show();
