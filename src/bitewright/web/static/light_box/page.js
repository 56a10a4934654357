// Small words for the page: its elements, its line of talk, what is sent.
import { NO_ANSWER, onAnswer } from "../fetched.js";

const say = document.getElementById("say");

export const by = (id) => document.getElementById(id);

export function tell(text, fault = false) {
  say.textContent = text;
  say.classList.toggle("fault", fault);
}

// What was said holds no more; what was said since stays.
export function untell(text) {
  if (text && say.textContent === text) tell("");
}
onAnswer(() => untell(NO_ANSWER));

// Scroll to a part of the page where its middle lies out of sight, to its head.
export function bringIntoView(head, part) {
  const { top, bottom } = part.getBoundingClientRect(), middle = (top + bottom) / 2;
  if (middle < 0 || middle > innerHeight) head.scrollIntoView({ block: "start" });
}

// Scroll so that a part of the page is seen whole.
export function wholeInView(part) {
  const { top, bottom } = part.getBoundingClientRect();
  if (top < 0 || bottom > innerHeight) part.scrollIntoView({ block: top < 0 ? "start" : "nearest" });
}

export const sent = (method, body) => ({ method, body: JSON.stringify(body), headers: { "content-type": "application/json" } });

export function toggle(button) {
  const pressed = button.getAttribute("aria-pressed") !== "true";
  button.setAttribute("aria-pressed", String(pressed));
  return pressed;
}

// The server refuses a class whatever its page would write.
export const mayWrite = !document.documentElement.dataset.user?.startsWith("class");
