// The visit's page, read again for another question when one is chosen.
const shown = document.querySelector(".visit-page").dataset.question;
const choice = document.getElementById("question");
choice.value = shown;
choice.addEventListener("change", () => {
  const asked = new URLSearchParams(location.search);
  asked.set("question", choice.value);
  location.search = asked;
});
