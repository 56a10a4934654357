// How the film is exposed, displayed and handled: asked of the next film, and said in the address.
const form = document.getElementById("handling");
const mas = document.getElementById("mas");
const look = document.getElementById("look");
const faults = [...form.querySelectorAll("[name=fault]")];
const words = document.getElementById("handling-words");
let receptor = "";

// Only what this kind of receptor can have is asked for.
const can = (box) => receptor === "" || box.dataset.kinds.split(" ").includes(receptor);
const chosen = () => faults.filter((box) => box.checked && can(box));

export function handling() {
  const given = mas.value === "" || !mas.checkValidity() ? null : Number(mas.value);
  return { mas: given, look: look.value, faults: chosen().map((box) => box.value) };
}

export function toQuery() {
  const { mas: given, look: display, faults: named } = handling();
  const unusual = [];
  if (given !== null) unusual.push(["mas", String(given)]);
  if (display !== look.options[0].value) unusual.push(["look", display]);
  return [...unusual, ...named.map((name) => ["fault", name])];
}

export function fromAddress() {
  const query = new URLSearchParams(location.search);
  mas.value = query.get("mas") ?? "";
  const display = query.get("look");
  look.value = [...look.options].some((option) => option.value === display) ? display : look.options[0].value;
  for (const box of faults) box.checked = query.getAll("fault").includes(box.value);
  tell();
}

export function of(kind) {
  receptor = kind;
  for (const box of faults) box.disabled = !can(box);
  tell();
}

export function onHandling(act) {
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", () => {
    mas.setAttribute("aria-invalid", String(!mas.checkValidity()));
    tell();
    act();
  });
}

function tell() {
  const { mas: given, faults: named } = handling();
  const parts = [given === null ? "" : `${given} mAs`, look.selectedIndex ? look.selectedOptions[0].textContent.split(":")[0] : "", named.length ? `${named.length} fault${named.length > 1 ? "s" : ""}` : ""];
  words.textContent = parts.filter(Boolean).join(", ");
}
