// The plan of a visit, made again for another question when one is chosen.
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
