// Which two films: those that lie on the light box, or images dropped here with their marks.
import { json } from "../fetched.js";

const by = (id) => document.getElementById(id);
const form = by("choose");
const WORKING = "Both exposures are being estimated: some ten seconds.";
const nameOf = (path) => path.split(/[/\\]/).at(-1);
const isMarks = (file) => /\.json$/i.test(file.name);

form.addEventListener("submit", () => (by("working").textContent = WORKING));

async function bring(files) {
  by("wrong").textContent = "";
  by("working").textContent = "Films are being laid on the light box.";
  try {
    const marks = await Promise.all(files.filter(isMarks).map(readMarks));
    const images = files.filter((file) => !isMarks(file));
    if (!marks.length) throw new Error("No marks file is among these: give each film's image and its marks, or mark films on the light box first.");
    const pairs = marks.map((each) => ({ ...each, image: imageOf(each, images, marks.length) }));
    const laid = [];
    for (const pair of pairs) laid.push(await layDown(pair));
    laid.sort((a, b) => (a.day < b.day ? -1 : a.day > b.day ? 1 : 0));
    const asked = new URLSearchParams();
    if (laid.length === 2) laid.forEach(({ id }, place) => asked.set(["earlier", "later"][place], id));
    if (laid.length === 2) by("working").textContent = WORKING;
    location.search = asked;
  } catch (error) {
    by("working").textContent = "";
    by("wrong").textContent = error.message;
  }
}

async function readMarks(file) {
  let read = null;
  try {
    read = JSON.parse(await file.text());
  } catch {
    // told below
  }
  if (read?.format !== "bitewright.marks/1") throw new Error(`${file.name} holds no marks: give a file that \`bitewright assess\` takes.`);
  return { name: file.name, read };
}

// The image that marks were set on, by its name.
function imageOf({ name, read }, images, count) {
  const found = images.find((file) => file.name === nameOf(read.image.file)) ?? (count === 1 && images.length === 1 ? images[0] : null);
  if (!found) throw new Error(`${nameOf(read.image.file)}, the image of ${name}, is not among these files: give it too.`);
  return found;
}

async function layDown({ name, read, image }) {
  const { format, image: of, ...marks } = read;
  const visit = [marks.patient, marks.taken_on].filter(Boolean).join(", ").slice(0, 60) || "recall";
  const label = /\.(dcm|dicom)$/i.test(image.name) ? "DICOM film" : image.name.replace(/\.[^.]+$/, "").slice(0, 60);
  const query = new URLSearchParams({ label, visit, looked_at: false });
  const made = await json(`/light-box/films?${query}`, { method: "PUT", body: image }).catch((error) => {
    throw new Error(`${image.name}: ${error.message}${error.status === 409 ? " Bring it in on the light box, where it can be looked at first." : ""}`);
  });
  try {
    if (of.columns !== made.columns || of.rows !== made.rows) throw new Error(`${name} was marked on an image of ${of.columns} × ${of.rows} pixels, ${image.name} has ${made.columns} × ${made.rows}: give the image that it was marked on.`);
    const body = JSON.stringify({ version: made.marks_version, marks });
    await json(`/light-box/films/${made.id}/marks`, { method: "PUT", body, headers: { "content-type": "application/json" } });
  } catch (error) {
    await json(`/light-box/films/${made.id}`, { method: "DELETE" }).catch(() => null); // nothing half-kept
    throw error;
  }
  return { id: made.id, day: marks.taken_on ?? "" };
}

by("files")?.addEventListener("change", (event) => {
  bring([...event.target.files]);
  event.target.value = "";
});
if (by("files")) {
  for (const name of ["dragenter", "dragover"]) {
    addEventListener(name, (event) => {
      event.preventDefault();
      document.body.classList.add("dropping");
    });
  }
  for (const name of ["dragleave", "drop"]) addEventListener(name, () => document.body.classList.remove("dropping"));
  addEventListener("drop", (event) => {
    event.preventDefault();
    bring([...event.dataTransfer.files]);
  });
}
