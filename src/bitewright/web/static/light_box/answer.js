// The answer in its fixed place: whether the film serves, the one movement, how sure. Read in five seconds.
import { by } from "./page.js";

const SIGNS = { yes: ["=", "good"], readable: ["~", "fair"], doubtful: ["?", "fair"], no: ["x", "poor"], "not-told": ["?", "open"], "by-eye": ["?", "open"] };
const NOTHING = { headline: "No answer yet", why: "Choose the view, then mark the edges at the contacts: from six marks on the answer stands here.", when: "", movement: "", set_up: "", expected: "", sure: "", also: "", rim_question: null, asked: null, is_settled: false };
const FEWEST = 6;
let shown = NOTHING;
let ofMarks = null; // what the marks alone said of being sure, while the explanation is on its way

// Only what changed is written, so that it alone is read out.
function write(id, text) {
  const place = by(id);
  if (place.textContent !== text) place.textContent = text;
}

function put(answer) {
  shown = answer;
  const [sign, kind] = SIGNS[answer.served] ?? ["", ""];
  by("answer").dataset.kind = kind;
  write("answer-sign", sign);
  write("answer-headline", answer.headline);
  write("answer-why", answer.why);
  write("answer-when", answer.when ? `${answer.when}:` : "");
  write("answer-movement", answer.movement);
  write("answer-set-up", answer.set_up);
  write("answer-expected", answer.expected);
  write("answer-sure", answer.sure);
  by("answer-also").hidden = !answer.also;
  by("answer-also").querySelector("p").textContent = answer.also;
  const isAsked = answer.rim_question !== null || Boolean(by("rim").querySelector("input:checked:not([value=''])"));
  by("rim").hidden = !isAsked;
  if (answer.rim_question) write("rim-question", answer.rim_question);
}

// The one question that is asked of somebody who was there, beside those that were answered; why, while one stands open.
function ask(question) {
  let isOpen = false;
  for (const field of document.querySelectorAll(".chairside")) {
    const isAnswered = Boolean(field.querySelector("input:checked:not([value=''])"));
    field.hidden = field.dataset.question !== question && !isAnswered && !field.contains(document.activeElement);
    isOpen ||= !field.hidden && !isAnswered;
  }
  by("chairside-why").hidden = !isOpen;
}

export function clear() {
  ofMarks = null;
  put(NOTHING);
  ask(null);
  draw(null);
}

// The view is chosen and no answer is there yet.
export function wait(marked) {
  if (ofMarks !== null) return;
  put({ ...NOTHING, why: marked < FEWEST ? `From ${FEWEST} marks on the film the answer stands here: ${marked} so far.` : "Reading the marks; the first time takes some seconds." });
}

// Marks are proposed, and a person has not looked at them all, or not said that the teeth are numbered right.
export function waitForLooking(leftToDo, isLooked) {
  ofMarks = null;
  ask(null);
  draw(null);
  put({ ...NOTHING, isWaiting: true, served: "not-told", headline: isLooked ? "Not before the numbers are said to be right" : "Not before the marks are looked at", why: `Marks are proposed; nothing is measured from them yet. Left: ${leftToDo}` });
}

// Of the marks so far: what an older explanation asked goes.
export function showReading(answer) {
  ofMarks = answer;
  put(answer);
  ask(answer.asked?.question ?? null);
}

// Of the whole explanation; how sure that is the marks have told.
export function showWhole(answer) {
  ask(answer.asked?.question ?? null);
  put({ ...answer, sure: [ofMarks?.sure, answer.sure].filter((said, i, all) => said && all.indexOf(said) === i).join(" "), is_settled: ofMarks?.is_settled ?? false });
}

// The drawing comes once there is nothing to do but read, so that it moves nothing under a hand that marks.
export function draw(address) {
  const picture = by("answer-drawing").querySelector("img");
  by("answer-drawing").hidden = !address;
  if (address) picture.src = address;
  else picture.removeAttribute("src");
}

// Where it is still on its way it is wanted no more.
export function endDrawing() {
  if (!by("answer-drawing").querySelector("img").complete) draw(null);
}

// Something that was proposed waits for a person, by what is said here.
export const isWaitingForLooking = () => Boolean(shown.isWaiting);

// The marks are to be checked before anything is told of the film.
export const isMarksFirst = () => Boolean(shown.marks_first);

export const isSettled = () => Boolean(ofMarks?.is_settled);

// What is said stands above the answer where that lies over the foot of a small screen.
new ResizeObserver(() => document.documentElement.style.setProperty("--answer-height", `${by("answer").offsetHeight}px`)).observe(by("answer"));
