// The plan of a visit, made again for another question when one is chosen.
import { json } from "../fetched.js";

const choice = document.getElementById("question");
const form = document.getElementById("ask");
choice.value = document.querySelector(".visit-page").dataset.question;
choice.addEventListener("change", () => {
  const asked = new URLSearchParams(location.search);
  asked.set("question", choice.value);
  location.search = asked;
});
form.addEventListener("submit", () => {
  form.elements.question.value = choice.value;
  document.getElementById("working").textContent = "Films are being weighed: some ten seconds.";
});

// A learned mouth or an operator's Scatter from a file: the server keeps what it holds, the form its key.
for (const input of form.querySelectorAll("input[type=file]")) {
  const told = input.closest("label").nextElementSibling, wrong = document.getElementById("file-wrong");
  const take = (key, said) => {
    form.elements[input.dataset.into].value = key;
    told.querySelector("span").textContent = said;
    told.hidden = !key;
  };
  input.addEventListener("change", async () => {
    const [file] = input.files;
    if (!file) return;
    wrong.textContent = "";
    try {
      const asked = new URLSearchParams({ kind: input.dataset.kind, name: file.name });
      const made = await json(`/bench/visit/files?${asked}`, { method: "POST", body: file });
      take(made.key, made.said);
    } catch (error) {
      take("", "");
      wrong.textContent = error.message;
    }
    input.value = "";
  });
  told.querySelector("button").addEventListener("click", () => {
    take("", "");
    input.focus();
  });
}
