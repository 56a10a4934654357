// A film of one's own: kept as an exercise, or made into a tip sheet.
import { fetched, json } from "../fetched.js";

const form = document.getElementById("own"), say = document.getElementById("say");

function tell(text, isFault = false) {
  say.textContent = text;
  say.className = isFault ? "fault" : "";
  say.scrollIntoView({ block: "nearest" });
}

form?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const given = new FormData(form), way = event.submitter?.value === "tip" ? "tip" : "exercise";
  const asked = Object.fromEntries(["fault", "consent_by", "consent_on"].map((name) => [name, given.get(name)]));
  asked.no_names_seen = given.has("no_names_seen");
  if (way === "tip") asked.better = Number(given.get("better"));
  else for (const name of ["name", "also", "says"]) asked[name] = given.get(name);
  const address = `/own-films/${form.dataset.film}/${way}`;
  const options = { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(asked) };
  tell(way === "tip" ? "The sheet is being made; this takes some seconds." : "The film is being kept.");
  try {
    if (way === "tip") {
      const link = document.createElement("a");
      link.href = URL.createObjectURL(await (await fetched(address, options)).blob());
      link.download = `tip-${asked.fault}.pdf`;
      link.click();
      tell("The tip sheet is made: your browser saves it.");
    } else {
      const made = await json(address, options);
      sessionStorage.setItem("own-film-said", made.said);
      location.reload();
    }
  } catch (error) {
    tell(error.message, true);
  }
});

for (const button of document.querySelectorAll("[data-drop]")) {
  button.addEventListener("click", async () => {
    const name = button.dataset.drop;
    if (!confirm(`Drop ${name} with its film?`)) return;
    try {
      await fetched(`/own-films/exercises/${name}`, { method: "DELETE" });
      location.reload();
    } catch (error) {
      tell(error.message, true);
    }
  });
}

const said = sessionStorage.getItem("own-film-said");
if (said) {
  sessionStorage.removeItem("own-film-said");
  tell(said);
}
