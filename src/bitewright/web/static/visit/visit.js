// The visit's page, read again for another question when one is chosen; decisions signed on it.
import { json } from "/static/fetched.js";
import { onGoneBack } from "/static/gone_back.js";

const { question: shown, visit } = document.querySelector(".visit-page").dataset;
const choice = document.getElementById("question");
choice.value = shown;
choice.addEventListener("change", () => {
  const asked = new URLSearchParams(location.search);
  asked.set("question", choice.value);
  location.search = asked;
});

onGoneBack(() => location.reload()); // its films may have been marked otherwise since

// ------------------------------------------------------------------ signing
async function signed(form) {
  const at = (name) => form.querySelector(`.${name}`);
  const button = form.querySelector("button");
  at("wrong").textContent = "";
  at("told").textContent = "Being written to the log.";
  button.disabled = true;
  const asked = new URLSearchParams(location.search);
  const stated = Object.fromEntries(["purpose", "cause", "change", "hand"].filter((name) => asked.get(name)).map((name) => [name, asked.get(name)]));
  const given = Object.fromEntries([...new FormData(form)].map(([name, text]) => [name, text.trim()]));
  if (form.elements.is_students) given.is_students = form.elements.is_students.checked;
  const body = JSON.stringify({ ...("decision" in given ? stated : {}), ...given, visit, which: Number(form.dataset.which) });
  try {
    const done = await json(`${form.dataset.address}?question=${encodeURIComponent(shown)}`, { method: "POST", body, headers: { "content-type": "application/json" } });
    const link = document.createElement("a");
    link.href = "/record/log";
    link.textContent = "The log";
    at("told").replaceChildren(`${done.said} `, link);
  } catch (error) {
    at("told").textContent = "";
    at("wrong").textContent = error.message;
  } finally {
    button.disabled = false;
  }
}

for (const form of document.querySelectorAll("form.signed")) {
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    signed(form);
  });
}
