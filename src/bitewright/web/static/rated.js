// What films are rated for and by: chosen on any page, kept for the next, and sent with what is asked.
const KEY = "bitewright.rated";
const form = document.getElementById("rated");
const selects = [...form.querySelectorAll("select")];
const usual = Object.fromEntries(selects.map((select) => [select.name, select.value]));

export const rated = () => Object.fromEntries(selects.map((select) => [select.name, select.value]));

// Take what is there by these names; what is left out is the usual. A page's address goes before what was kept.
export function choose(wanted) {
  for (const select of selects) {
    const name = wanted[select.name] ?? usual[select.name];
    if ([...select.options].some((option) => option.value === name)) select.value = name;
  }
}

// In an address only what is not the usual is said.
export const unusual = () => Object.entries(rated()).filter(([name, value]) => value !== usual[name]);

export function onRated(act) {
  form.addEventListener("change", act);
}

function kept() {
  try {
    return JSON.parse(localStorage.getItem(KEY)) ?? {};
  } catch {
    return {};
  }
}

// What explains is closed as soon as something else is worked.
const explained = form.querySelector("details");
addEventListener("pointerdown", (event) => explained.contains(event.target) || (explained.open = false));
explained.addEventListener("focusout", (event) => {
  if (event.relatedTarget && !explained.contains(event.relatedTarget)) explained.open = false;
});
explained.addEventListener("keydown", (event) => {
  if (event.key === "Escape") explained.open = false;
});
form.addEventListener("submit", (event) => event.preventDefault());
form.addEventListener("change", () => {
  try {
    localStorage.setItem(KEY, JSON.stringify(rated()));
  } catch {
    // Only forgotten with the page.
  }
});
const asked = Object.fromEntries(new URLSearchParams(location.search));
choose({ ...kept(), ...asked });
