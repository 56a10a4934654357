// How the bench is looked at: one film enlarged, or film and letters for a hall.
const bench = document.getElementById("on-bench");
const hall = document.getElementById("hall");
const buttons = [...document.querySelectorAll("[data-enlarge]")];

function enlarge(which) {
  if (which) bench.dataset.large = which;
  else delete bench.dataset.large;
  for (const button of buttons) {
    const isLarge = button.dataset.enlarge === which;
    button.setAttribute("aria-pressed", String(isLarge));
    button.firstChild.data = isLarge ? "Make small" : "Enlarge";
  }
}

export const enlargeFilm = () => enlarge(bench.dataset.large ? null : "film");
export const leaveKept = () => bench.dataset.large === "kept" && enlarge(null);

export function present() {
  const isHall = document.documentElement.dataset.look === "hall";
  if (isHall) delete document.documentElement.dataset.look;
  else document.documentElement.dataset.look = "hall";
  hall.setAttribute("aria-pressed", String(!isHall));
}

for (const button of buttons) {
  button.addEventListener("click", () => enlarge(bench.dataset.large === button.dataset.enlarge ? null : button.dataset.enlarge));
}
addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || event.target.closest("dialog")) return;
  if (bench.dataset.large) enlarge(null);
  else if (document.documentElement.dataset.look === "hall") present();
});
