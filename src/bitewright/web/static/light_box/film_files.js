// Files in: films that are added or dropped, the sample film, a file of marks.
import { fetched, json } from "../fetched.js";
import { laid, marksOf } from "./laid.js";
import { by, tell } from "./page.js";
import { replaceAll } from "./placing.js";
import { many } from "./proposals.js";
import { choose } from "./stage.js";

const AT_ONCE = 3;
const SAMPLE = "/static/light_box/sample";

async function addFiles(files) {
  const waiting = [...files];
  const line = async () => {
    while (waiting.length) await addFile(waiting.shift());
  };
  await Promise.all(Array.from({ length: AT_ONCE }, line));
}

async function addFile(file, lookedAt = false) {
  const item = document.createElement("li");
  item.textContent = `${file.name}: on its way`;
  by("uploads").append(item);
  const isDicom = /\.(dcm|dicom)$/i.test(file.name);
  const label = isDicom ? "DICOM film" : file.name.replace(/\.[^.]+$/, "").slice(0, 60);
  try {
    const query = new URLSearchParams({ label, visit: by("visit").value || "visit 1", looked_at: lookedAt });
    const made = await json(`/light-box/films?${query}`, { method: "PUT", body: file });
    item.remove();
    laid.films.push(made);
    await choose(made.id);
  } catch (error) {
    refusal(item, `${file.name}: ${error.message}`);
    if (error.status === 409) offerToKeep(item, file);
  }
}

// Something in the film may say whose it is: a person looks, and keeps it all the same or not.
function offerToKeep(item, file) {
  const keepIt = Object.assign(document.createElement("button"), { type: "button", className: "keep", textContent: "I have looked: keep it" });
  keepIt.setAttribute("aria-label", `I have looked at ${file.name}: keep it`);
  keepIt.addEventListener("click", () => {
    item.remove();
    addFile(file, true);
  });
  item.append(keepIt);
}

function refusal(item, text) {
  const close = Object.assign(document.createElement("button"), { type: "button", textContent: "×" });
  close.setAttribute("aria-label", `Close what is said of ${text.split(":")[0]}`);
  close.addEventListener("click", () => item.remove());
  item.replaceChildren(Object.assign(document.createElement("span"), { textContent: text }), close);
  item.className = "wrong";
}

// The sample film is a film like any other; its marks are simulated too.
async function addSample(isMarked) {
  try {
    const picture = await (await fetched(`${SAMPLE}.png`)).blob();
    const before = laid.film?.id;
    await addFile(new File([picture], "sample film (simulated).png"));
    if (isMarked && laid.film && laid.film.id !== before) takeMarks(await json(`${SAMPLE}.marks`));
  } catch (error) {
    tell(error.message, true);
  }
}

// What a file holds; nothing where it is not JSON, for what the browser says of that helps nobody.
async function readIn(file) {
  const text = await file.text();
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function takeMarks(given) {
  const { film } = laid;
  const { format, image, ...rest } = given ?? {};
  if (format !== "bitewright.marks/1" || !image) throw new Error("That file holds no marks: give one that `bitewright assess` takes.");
  if (image.sha256 && image.sha256 !== film.sha256) throw new Error(`Those marks were set on another picture than ${film.label}, so none of them is taken: its content differs.`);
  if (image.columns !== film.columns || image.rows !== film.rows) throw new Error(`Those marks were set on an image of ${image.columns} × ${image.rows} pixels, this film has ${film.columns} × ${film.rows}.`);
  const there = Object.keys(marksOf(film)).length, count = Object.keys(rest.marks ?? {}).length;
  if (there && !confirm(`Put the ${many(count)} of that file in the place of the ${many(there)} of this film? U brings ${there === 1 ? "it" : "them"} back.`)) return;
  const { proposed, numbers, ...others } = film.marks; // what the file says of a proposal takes its place
  replaceAll({ ...others, ...rest });
  tell(`${many(count)} loaded.${there ? " U brings those back that were there." : ""}`);
}

by("files").addEventListener("change", (event) => {
  addFiles(event.target.files);
  event.target.value = ""; // so that the same film can be chosen again
});
by("load-marks").addEventListener("change", async (event) => {
  if (!laid.film || !event.target.files.length) return;
  try {
    takeMarks(await readIn(event.target.files[0]));
  } catch (error) {
    tell(error.message, true);
  }
  event.target.value = "";
});
by("sample").addEventListener("click", () => addSample(false));
by("sample-marked").addEventListener("click", () => addSample(true));
for (const name of ["dragenter", "dragover"]) {
  addEventListener(name, (event) => {
    event.preventDefault();
    document.body.classList.add("dropping");
  });
}
for (const name of ["dragleave", "drop"]) addEventListener(name, () => document.body.classList.remove("dropping"));
addEventListener("drop", (event) => {
  event.preventDefault();
  addFiles(event.dataTransfer.files);
});
