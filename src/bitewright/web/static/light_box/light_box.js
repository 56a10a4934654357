// The light box: films in, marks on them, what they tell beside.
import { fetched, json } from "../fetched.js";
import { Latest } from "../latest.js";
import { onRated, rated } from "../rated.js";
import * as beside from "./beside.js";
import * as conflict from "./conflict.js";
import * as drafts from "./drafts.js";
import * as glass from "./glass.js";
import { handle, zoomIn, zoomOut } from "./hands.js";
import { isAway, MarkSaves } from "./mark_saves.js";
import * as marks from "./marks.js";
import * as mount from "./mount.js";
import { drawTeeth, placeOn, usual } from "./next_mark.js";
import { NineFields } from "./nine_fields.js";
import * as outcome from "./outcome.js";
import { save } from "./saved_picture.js";
import { Settling } from "./settling.js";
import { differences, together } from "./versions.js";
import * as viewer from "./viewer.js";

const by = (id) => document.getElementById(id);
const say = by("say");
const AT_ONCE = 3;
const SETTLE_MS = 350;
const mayWrite = !document.documentElement.dataset.user?.startsWith("class"); // the server refuses it anyway
let films = [];
let film = null;
let skipped = new Set();
let history = [];
let asking = null;
let edits = 0;
const choices = new Latest();
let current = null;
let onBorder = {};
let aim = null; // the wanted mark: its name, the place where it should lie, the nine fields about the cross
let byKeys = false;

function tell(text, fault = false) {
  say.textContent = text;
  say.classList.toggle("fault", fault);
}

const sent = (method, body) => ({ method, body: JSON.stringify(body), headers: { "content-type": "application/json" } });
const here = (rest = "") => `/light-box/films/${film.id}${rest}`;

// ---------------------------------------------------------------- films in
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
    films.push(made);
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
const SAMPLE = "/static/light_box/sample";
async function addSample(isMarked) {
  try {
    const picture = await (await fetched(`${SAMPLE}.png`)).blob();
    const before = film?.id;
    await addFile(new File([picture], "sample film (simulated).png"));
    if (isMarked && film && film.id !== before) takeMarks(await json(`${SAMPLE}.marks`));
  } catch (error) {
    tell(error.message, true);
  }
}

// What was marked while the film was on its way once more stays; of two on their way the last asked for is shown.
let choosing = Promise.resolve();
function choose(id) {
  choosing = Promise.all([choosing, layOnStage(id)]);
  return choosing;
}

async function layOnStage(id) {
  moving.endAll();
  const before = edits;
  const isLast = choices.begin();
  try {
    await saves.settled(id);
    const [made, picture] = await Promise.all([newest(id), pixelsOf(id)]);
    if (!isLast() || (film?.id === id && edits !== before)) return;
    film = made;
    drafts.remember("film", id);
    viewer.show(picture.pixels, picture.columns, picture.rows, picture.bits);
    if (beside.isShown()) showBeside("");
    marks.startCross([film.columns / 2, film.rows / 2]);
    marks.hideCross();
    glass.close();
    aim = null;
    byKeys = false;
    skipped = new Set();
    history = [];
    onBorder = {};
    current = null;
    outcome.clear();
    tell("");
    by("over").hidden = true;
    viewer.blend(0, false);
    by("empty").hidden = true;
    refresh();
    showConflict();
    measure();
  } catch (error) {
    if (isLast()) tell(error.message, true);
  }
}

// A film as the server has it; with what this page alone has, while the server is away or asks which is to stay.
async function newest(id) {
  const known = films.find((f) => f.id === id);
  if (known && conflicts.has(id)) return known;
  try {
    const made = await json(`/light-box/films/${id}`);
    return known && saves.has(id) ? { ...made, marks: known.marks, marks_version: known.marks_version } : made;
  } catch (error) {
    if (known && isAway(error)) return known;
    throw error;
  }
}

// Pixels never change: the last films' are kept, and can be looked at while the server is away.
const MOST_KEPT = 4;
const pictures = new Map();
async function pixelsOf(id) {
  const kept = pictures.get(id);
  if (kept) return kept;
  const answer = await fetched(`/light-box/films/${id}/pixels`);
  const head = (name) => Number(answer.headers.get(name));
  const made = { pixels: new Uint16Array(await answer.arrayBuffer()), columns: head("x-columns"), rows: head("x-rows"), bits: head("x-bits") };
  pictures.set(id, made);
  if (pictures.size > MOST_KEPT) pictures.delete(pictures.keys().next().value);
  return made;
}

// ---------------------------------------------------------------- what is shown of a film
const titleOf = (name) => film.wanted.find((w) => w.name === name)?.title ?? name.replaceAll(".", " ");
const words = () => Object.fromEntries(film.wanted.map(({ name, words: said }) => [name, said]));

function refresh() {
  films = films.map((f) => (f.id === film.id ? film : f));
  mount.lay(films, film.id, choose);
  by("film-name").textContent = film.label;
  const mm = film.marks.pixel_mm ?? film.pixel_mm;
  const size = mm ? `${Number(mm.toFixed(4))} mm a pixel${film.marks.pixel_mm ? ", as given here" : ""}` : "pixel size not stated: give it under Name, visit, pixel size";
  by("film-facts").textContent = `${film.columns} × ${film.rows}, ${size}`;
  by("film-about").textContent = [film.titles.view ?? "no view yet", film.titles.receptor, film.titles.holder, film.visit].filter(Boolean).join(", ");
  by("kept").textContent = Object.entries(film.kept).map(([name, said]) => `${name.replaceAll("_", " ")}: ${said}`).join("; ");
  by("kept-facts").hidden = false;
  by("about-film").hidden = false;
  showAbout();
  by("picture").setAttribute("aria-label", `Film ${film.label}, ${film.titles.view ?? "no view yet"}, ${Object.keys(film.marks.marks ?? {}).length} marks`);
  for (const name of ["view", "receptor", "holder", "mounting"]) by(name).value = film.marks[name] ?? (name === "mounting" ? "as-seen-from-the-tube" : "");
  marks.draw(film.marks.marks ?? {}, words(), titleOf, (name, mark) => onBorder[name] === `${mark.x_px},${mark.y_px}`);
  showNext();
  showList();
  showVisit();
  by("marks-file").hidden = !film.marks.view;
  by("marks-file").href = here("/marks-file");
  by("remove-film").hidden = false;
  by("decision").hidden = false;
  by("decided").textContent = film.decision.decision ? `${film.decision.decision}, ${film.decision.when.slice(0, 10)} ${film.decision.by}` : "";
}

// What is being typed stays.
function showAbout() {
  const form = by("film-form");
  if (form.contains(document.activeElement) && form.dataset.film === String(film.id)) return;
  form.dataset.film = film.id;
  form.elements.label.value = film.label;
  form.elements.visit.value = film.visit;
  form.elements.pixel_mm.value = film.marks.pixel_mm ?? "";
  const others = films.filter((f) => f.id !== film.id);
  const now = by("beside").value;
  by("beside").replaceChildren(new Option("no film", ""), ...others.map((f) => new Option(`${f.label}, ${f.visit}`, f.id)));
  by("beside").value = others.some((f) => String(f.id) === now) ? now : "";
}

async function showBeside(id) {
  by("beside").value = id;
  try {
    const other = films.find((f) => String(f.id) === String(id)) ?? null;
    beside.show(other, other && (await pixelsOf(other.id)), film.marks.pixel_mm ?? film.pixel_mm);
  } catch (error) {
    tell(error.message, true);
  }
  viewer.fit();
}

// Other films of the visit that say something of its mouth.
function showVisit() {
  const others = films.filter((f) => f.id !== film.id && f.visit === film.visit && f.marks.view && Object.values(f.marks.marks ?? {}).some((m) => m.x_px !== undefined));
  by("visit-row").hidden = !others.length;
  by("visit-films").textContent = others.map((f) => `${f.label} (${f.titles.view})`).join(", ");
  if (!others.length) by("together").checked = false;
}

function nextName() {
  if (!mayWrite) return null;
  const given = film.marks.marks ?? {};
  return film.wanted.map((w) => w.name).find((name) => !(name in given) && !skipped.has(name)) ?? null;
}

function showNext() {
  const name = nextName();
  const place = by("next");
  place.replaceChildren();
  place.dataset.name = name ?? "";
  aimAt(name);
  if (!mayWrite) place.textContent = "A link for a class shows films, their marks and what they tell. The teacher's own link marks them.";
  else if (!film.marks.view) place.textContent = "Choose the view: what the film was taken for. Then the marks are asked for one by one.";
  else if (name === null) showNoneNext(place);
  else {
    const bold = document.createElement("b");
    bold.textContent = `Next: ${words()[name]}`;
    const lies = aim.place?.isOutside ? "By the marks so far it lies outside the film: O says so. Else click it" : "Click it";
    place.append(bold, `${lies}, or press a digit for the field it lies in, as on a number pad, or the arrow keys; Enter places it.`);
  }
}

function showNoneNext(place) {
  const later = film.wanted.filter((w) => !(w.name in (film.marks.marks ?? {}))).length;
  if (later === 0) {
    place.textContent = "Every mark is placed. Read what it shows and why, then keep your decision.";
    return;
  }
  const again = document.createElement("button");
  again.type = "button";
  again.textContent = "Ask for them again";
  again.addEventListener("click", () => {
    skipped.clear();
    showNext();
    by("stage").focus();
  });
  place.append(`${later} ${later === 1 ? "mark is" : "marks are"} left for later, every other is placed. `, again);
}

function showList() {
  const given = film.marks.marks ?? {};
  by("count").textContent = film.wanted.length ? `${Object.keys(given).length} placed, ${film.wanted.filter((w) => !(w.name in given)).length} to go` : "";
  by("mark-list").replaceChildren(
    ...Object.entries(given).map(([name, mark]) => {
      const item = document.createElement("li");
      const go = document.createElement("button");
      go.type = "button";
      go.textContent = `${titleOf(name)}${mark.status && mark.status !== "seen" ? ` (${mark.status})` : ""}`;
      go.addEventListener("click", () => marks.focus(name));
      const drop = document.createElement("button");
      drop.type = "button";
      drop.textContent = "×";
      drop.setAttribute("aria-label", `Remove ${words()[name] ?? titleOf(name)}`);
      drop.addEventListener("click", () => change(name, null));
      item.append(go, drop);
      return item;
    }),
  );
}

// ---------------------------------------------------------------- where the wanted mark should lie
const FIELDS_SD = 2; // the nine fields reach so many standard deviations to each side
const FINEST_MM = 0.15;
const COARSE_PX_PER_MM = 60; // below it a contact is looked at through the glass
const NEAR_MM = 3;
const GLASS_ZOOM = 3;
const GLASS_PX = 180;

function aimAt(name) {
  const known = name && usual(film.marks.view, () => film && showNext());
  const place = name && placeOn(film, name, known);
  marks.light(place && !place.isOutside ? place : null);
  drawTeeth(known, name, film.marks.mounting === "mirrored");
  if (!name) {
    aim = null;
    glass.close();
    return;
  }
  if (aim?.name === name && `${aim.place?.at}` === `${place?.at}`) return;
  aim = { name, place };
  if (place) marks.startCross(place.at);
  newFields();
  if (byKeys) lookAtCross();
}

// About the cross; at first as wide as the place is unsure.
function newFields() {
  const mm = aim.place?.mm ?? 20 / film.columns;
  aim.fields = new NineFields([marks.at.x, marks.at.y], Math.max(FINEST_MM / mm, FIELDS_SD * (aim.place?.reach ?? film.columns / 8)), FINEST_MM / mm);
  tellCross();
}

function tellCross() {
  Object.assign(by("stage").dataset, { x: marks.at.x, y: marks.at.y, half: aim.fields.half });
}

function takeField(digit) {
  byKeys = true;
  marks.startCross(aim.fields.take(digit));
  tellCross();
  lookAtCross();
}

const seenPlaces = () => Object.values(film.marks.marks ?? {}).filter((m) => m.x_px !== undefined).map((m) => [m.x_px, m.y_px]);

function lookAtCross() {
  marks.showCross();
  const half = aim.fields.half;
  glass.open({ at: [marks.at.x, marks.at.y], across: Math.max(24, (2 * half) / 0.8), marks: seenPlaces(), grid: half });
}

// The pointer is over the film; null: it left.
function hovered(event) {
  if (!event) {
    if (!byKeys) glass.close();
    return;
  }
  byKeys = false;
  const at = viewer.filmPlace(event);
  if (by("magnify").getAttribute("aria-pressed") !== "true" && !nearsContact(at, event)) glass.close();
  else glass.open({ at, across: GLASS_PX / (viewer.view.scale * GLASS_ZOOM), marks: seenPlaces() });
}

function nearsContact(at, event) {
  if (!aim) return false;
  if (event.pointerType === "touch") return true; // the finger hides what it points at
  if (!aim.place || !marks.isContact(aim.name) || viewer.view.scale / aim.place.mm > COARSE_PX_PER_MM) return false;
  return Math.hypot(at[0] - aim.place.at[0], at[1] - aim.place.at[1]) < Math.max(NEAR_MM / aim.place.mm, FIELDS_SD * aim.place.reach);
}

// ---------------------------------------------------------------- marks
// What a key was moving has come to rest once anything else is changed.
function change(name, mark) {
  moving.endAll();
  const before = film.marks.marks?.[name] ?? null;
  history.push([name, before]);
  setMark(name, mark);
}

function setMark(name, mark) {
  const given = { ...(film.marks.marks ?? {}) };
  if (mark === null) delete given[name];
  else given[name] = mark;
  keep({ ...film.marks, marks: given });
}

// Shown at once, and kept whichever film is chosen meanwhile.
function keep(next) {
  if (!mayWrite) {
    tell("A link for a class shows marks and what they tell; it changes none.");
    refresh();
    return;
  }
  film = { ...film, marks: next };
  edits += 1;
  refresh();
  if (conflicts.has(film.id)) drafts.put(film.id, { version: film.marks_version, marks: film.marks });
  else saves.keep(film.id, film.marks_version, film.marks);
  showConflict();
}

// ---------------------------------------------------------------- two pages changed one film
const conflicts = new Map(); // the film as the server has it, by number

async function changedElsewhere(id, ours, unanswered = []) {
  const theirs = await json(`/light-box/films/${id}`);
  if (!differences(ours, theirs.marks).length) {
    drafts.drop(id); // an answer was lost, not the marks
    adopt({ ...theirs });
    return;
  }
  if (unanswered.some((sent) => !differences(sent, theirs.marks).length)) {
    // The change is this page's own, whose answer was lost: what was set since goes on top of it.
    const version = theirs.marks_version;
    const newest = film?.id === id ? film.marks : ours;
    films = films.map((f) => (f.id === id ? { ...f, marks_version: version, marks: newest } : f));
    if (film?.id === id) film = { ...film, marks_version: version };
    saves.keep(id, version, newest);
    return;
  }
  conflicts.set(id, theirs);
  if (film?.id === id) showConflict();
  else tell(`${theirs.label} was changed on another page too: open it to choose which version is to stay.`, true);
}

function showConflict() {
  const theirs = conflicts.get(film.id);
  if (!theirs) {
    conflict.hide();
    return;
  }
  const { id } = film;
  conflict.show(film.marks, theirs.marks, (name) => (name.includes(".") ? titleOf(name) : name.replaceAll("_", " ")), (which) => {
    conflicts.delete(id);
    drafts.drop(id);
    conflict.hide();
    if (which === "there") adopt(theirs);
    else {
      film = { ...film, marks_version: theirs.marks_version };
      keep(which === "here" ? film.marks : together(film.marks, theirs.marks));
    }
  });
}

// A film as the server has it takes the place of ours.
function adopt(theirs) {
  films = films.map((f) => (f.id === theirs.id ? theirs : f));
  if (film?.id !== theirs.id) return;
  film = theirs;
  history = [];
  refresh();
  measure();
}

function showUnsaved(waiting) {
  by("unsaved").hidden = !waiting.size;
  if (!waiting.size) return;
  const isShut = [...waiting.values()].some((error) => error.status === 403);
  const count = waiting.size === 1 ? "The marks of one film are" : `The marks of ${waiting.size} films are`;
  const why = isShut ? "This browser is not let in any more: open a link from `bitewright link` in it." : "The server does not answer.";
  by("unsaved-why").textContent = `${why} ${count} kept in this page, over a reload too, and sent again by themselves. Do not close it.`;
}
addEventListener("online", () => saves.again());
addEventListener("beforeunload", (event) => {
  if (!by("unsaved").hidden) event.preventDefault();
});

const saves = new MarkSaves({
  send: (id, version, given) => json(`/light-box/films/${id}/marks`, sent("PUT", { version, marks: given })),
  saved: (id, { marks_version, wanted, titles }) => {
    if (film?.id !== id) {
      films = films.map((f) => (f.id === id ? { ...f, marks_version, wanted, titles } : f));
      mount.lay(films, film?.id ?? null, choose);
      return;
    }
    film = { ...film, marks_version, wanted, titles };
    refresh();
    measure();
  },
  refused: (id, error, ours, unanswered) => {
    if (error.status === 409) changedElsewhere(id, ours, unanswered).catch((problem) => tell(problem.message, true));
    else tell(error.message, true);
  },
  delayed: showUnsaved,
  drafts,
});
const moving = new Settling(SETTLE_MS, (name, at) => change(name, seen(at)));

const seen = ([x, y]) => ({ x_px: Math.round(x * 4) / 4, y_px: Math.round(y * 4) / 4, status: "seen" });

function placeNext(at, snap = false) {
  const name = nextName();
  if (name === null) {
    tell(film.marks.view ? "Every mark is placed; drag one to move it, or remove it in the list." : "Choose the view first.", !film.marks.view);
    return;
  }
  if (at[0] < 0 || at[1] < 0 || at[0] > film.columns || at[1] > film.rows) return;
  current = name;
  tell(`Placed ${words()[name]}.`);
  putDown(name, at, snap);
}

// Where the hand put it, at once; on the crown's border, if that is sure, a moment later.
async function putDown(name, at, snap) {
  change(name, seen(at));
  if (snap && marks.isContact(name)) await toBorder(name);
}

const snaps = (event) => by("snap").getAttribute("aria-pressed") === "true" && !event.altKey && !event.shiftKey;

async function toBorder(name, asked = false) {
  const given = film?.marks.marks?.[name];
  if (given?.x_px === undefined) return;
  const { id } = film;
  try {
    const found = await json(here(`/edge?${new URLSearchParams({ name, x_px: given.x_px, y_px: given.y_px })}`));
    const now = film.marks.marks?.[name];
    if (film.id !== id || now?.x_px !== given.x_px || now?.y_px !== given.y_px) return;
    if (found.snapped) {
      onBorder[name] = `${found.x_px},${found.y_px}`;
      if (asked) history.push([name, given]);
      setMark(name, { ...given, x_px: found.x_px, y_px: found.y_px });
    }
    if (found.snapped || asked) tell(`${words()[name] ?? titleOf(name)}: ${found.sentence}`.replace(/^./, (c) => c.toUpperCase()));
  } catch (error) {
    // A film that says no size of a pixel can be marked all the same.
    if (asked) tell(error.message, true);
  }
}

function without(status) {
  const name = nextName();
  if (name) change(name, { status });
}

function later() {
  const name = nextName();
  if (!name) return;
  skipped.add(name);
  showNext();
}

function undo() {
  moving.endAll();
  tell("");
  const last = history.pop();
  if (last) setMark(...last);
}

marks.onMark({
  moved: (name, at) => moving.move(name, at),
  removed: (name) => {
    moving.forget(name);
    change(name, null);
  },
  focused: (name) => (current = name),
});
marks.onCross(() => {
  byKeys = true;
  if (!aim) return;
  newFields();
  lookAtCross();
});
handle({
  hasFilm: () => film !== null,
  isWanted: () => aim !== null,
  place: (at, event = null) => placeNext(at, event !== null && snaps(event)),
  hover: hovered,
  dropped: (name, at, event) => {
    moving.forget(name);
    putDown(name, at, snaps(event));
  },
  moved: refresh, // a drag that was broken off: back where it was
});

// ---------------------------------------------------------------- what it tells
async function measure() {
  asking?.abort();
  by("working").hidden = true;
  if (!film.marks.view || !Object.keys(film.marks.marks ?? {}).length) return;
  asking = new AbortController();
  const { signal } = asking, id = film.id;
  try {
    const rating = new URLSearchParams(rated()).toString();
    const measured = await json(here(`/assessment?${rating}`), { signal });
    if (measured.cannot) {
      outcome.clear();
      tell(measured.cannot);
      return;
    }
    outcome.show(measured);
    by("working").hidden = false;
    const how = `${rating}${by("together").checked ? "&together=true" : ""}`;
    const told = await fetched(here(`/explanation?${how}`), { signal });
    const answer = await told.json();
    if (film.id !== id) return;
    if (answer.cannot) {
      by("working").hidden = true;
      outcome.forgetExplanation();
      tell(answer.cannot);
      return;
    }
    const hasDrawing = told.headers.get("x-has-drawing") === "yes";
    outcome.explain(answer, hasDrawing ? here(`/drawing?version=${told.headers.get("x-marks-version")}&${how}`) : null);
    by("working").hidden = true;
    if (!answer.explanation) return;
    const predicted = await fetched(here(`/explained-film?${how}`), { signal });
    if (predicted.status === 204) return;
    const head = (name) => Number(predicted.headers.get(name));
    viewer.layOver(new Uint8Array(await predicted.arrayBuffer()), head("x-columns"), head("x-rows"), [head("x-width-mm"), head("x-height-mm")], answer.pixel_mm);
    by("over").hidden = false;
  } catch (error) {
    if (error.name === "AbortError") return;
    by("working").hidden = true;
    outcome.forgetExplanation();
    tell(error.message, true);
  }
}

// ---------------------------------------------------------------- buttons and keys
function toggle(button) {
  const pressed = button.getAttribute("aria-pressed") !== "true";
  button.setAttribute("aria-pressed", String(pressed));
  return pressed;
}

const ACTS = {
  fit: viewer.fit,
  "true-size": viewer.trueSize,
  "zoom-in": zoomIn,
  "zoom-out": zoomOut,
  invert: (b) => b.setAttribute("aria-pressed", String(viewer.invert())),
  magnify: (b) => !toggle(b) && glass.close(),
  snap: toggle,
  "to-edge": () => toBorder(current, true),
  undo,
  skip: later,
  outside: () => without("outside"),
  "hidden-mark": () => without("hidden"),
  difference: (b) => viewer.blend(by("blend").value / 100, toggle(b)),
  "send-again": () => saves.again(),
  "save-film": () => save(film.label, {}, { withMarks: false }),
  "save-marked": () => save(film.label, film.marks.marks ?? {}, { withMarks: true }),
  cancel: () => {
    asking?.abort();
    by("working").hidden = true;
    tell("The explanation was cancelled; change a mark to ask again.");
  },
  "remove-film": removeFilm,
};
const KEYS = { f: "fit", 0: "true-size", i: "invert", m: "magnify", n: "snap", e: "to-edge", u: "undo", s: "skip", o: "outside", h: "hidden-mark" };
for (const [id, act] of Object.entries(ACTS)) by(id).addEventListener("click", (event) => film && act(event.currentTarget));
addEventListener("keydown", (event) => {
  if (event.target.closest("input:not([type=range]), select, textarea") || event.ctrlKey || event.metaKey || event.altKey) return;
  if (film && aim && /^[1-9]$/.test(event.key)) {
    takeField(Number(event.key));
    event.preventDefault();
    return;
  }
  const id = KEYS[event.key.toLowerCase()];
  if (id && film) by(id).click();
});
by("blend").addEventListener("input", () => viewer.blend(by("blend").value / 100, by("difference").getAttribute("aria-pressed") === "true"));
for (const name of ["view", "receptor", "holder", "mounting"]) {
  by(name).addEventListener("change", () => film && keep({ ...film.marks, [name]: by(name).value || undefined }));
}

by("together").addEventListener("change", measure);
by("beside").addEventListener("change", () => showBeside(by("beside").value));
viewer.onDevelop(() => beside.develop());
onRated(() => film && measure());

by("film-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  const { label, visit, pixel_mm } = Object.fromEntries(new FormData(event.target));
  document.activeElement.blur();
  try {
    if (label !== film.label || visit !== film.visit) renamed(await json(here(), sent("PATCH", { label, visit })));
    if ((film.marks.pixel_mm ?? "") !== (pixel_mm ? Number(pixel_mm) : "")) keep({ ...film.marks, pixel_mm: pixel_mm ? Number(pixel_mm) : undefined });
    tell("Kept.");
  } catch (error) {
    tell(error.message, true);
  }
});

function renamed({ id, label, visit }) {
  films = films.map((f) => (f.id === id ? { ...f, label, visit } : f));
  if (film?.id === id) film = { ...film, label, visit };
  refresh();
}

// ---------------------------------------------------------------- several films at once
let chosenFilms = [];
mount.onSeveral((isSeveral, chosen) => {
  chosenFilms = chosen;
  by("chosen").hidden = !isSeveral;
  by("chosen-count").textContent = `${chosen.length} chosen`;
});
by("choose-all").addEventListener("click", mount.chooseAll);
by("chosen").addEventListener("submit", async (event) => {
  event.preventDefault();
  await eachChosen(async ({ id }) => renamed(await json(`/light-box/films/${id}`, sent("PATCH", { label: films.find((f) => f.id === id).label, visit: by("chosen-visit").value }))));
});
by("chosen-remove").addEventListener("click", async () => {
  const count = chosenFilms.length;
  if (!count || !confirm(`Take ${count === 1 ? "this film and its" : `these ${count} films and their`} marks off the light box? They are not kept elsewhere.`)) return;
  if (await eachChosen(takeOff)) location.reload();
});

async function eachChosen(act) {
  try {
    for (const each of chosenFilms) await act(each);
    return true;
  } catch (error) {
    tell(error.message, true);
    return false;
  }
}

async function takeOff({ id }) {
  asking?.abort();
  mount.leave();
  moving.endAll();
  await saves.settled(id);
  await choosing; // a film on its way is not asked for once it is gone
  asking?.abort(); // what was saved meanwhile asked anew
  await fetched(`/light-box/films/${id}`, { method: "DELETE" });
}

async function removeFilm() {
  if (!confirm("Take this film and its marks off the light box? They are not kept elsewhere.")) return;
  try {
    await takeOff(film);
  } catch (error) {
    tell(error.message, true);
    return;
  }
  location.reload();
}

by("files").addEventListener("change", (event) => {
  addFiles(event.target.files);
  event.target.value = ""; // so that the same film can be chosen again
});
function takeMarks({ format, image, ...rest }) {
  if (format !== "bitewright.marks/1") throw new Error("That file holds no marks: give one that `bitewright assess` takes.");
  if (image.columns !== film.columns || image.rows !== film.rows) throw new Error(`Those marks were set on an image of ${image.columns} × ${image.rows} pixels, this film has ${film.columns} × ${film.rows}.`);
  keep({ ...film.marks, ...rest });
}

by("load-marks").addEventListener("change", async (event) => {
  if (!film || !event.target.files.length) return;
  try {
    takeMarks(JSON.parse(await event.target.files[0].text()));
  } catch (error) {
    tell(error.message, true);
  }
  event.target.value = "";
});
by("sample").addEventListener("click", () => addSample(false));
by("sample-marked").addEventListener("click", () => addSample(true));
by("decision").addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const given = Object.fromEntries(new FormData(event.target));
    film = { ...film, decision: (await json(here("/decision"), sent("PUT", given))).decision };
    refresh();
  } catch (error) {
    tell(error.message, true);
  }
});
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
viewer.onMove(() => {
  marks.size();
  beside.follow();
});
by("visit").value = drafts.remembered("visit") ?? by("visit").value;
by("visit").addEventListener("change", () => drafts.remember("visit", by("visit").value));

// What an earlier page could not send goes on its way from this one.
function withDraft(of) {
  const draft = unsent.get(of.id);
  if (!draft) return of;
  unsent.delete(of.id);
  saves.keep(of.id, draft.version, draft.marks);
  return { ...of, marks: draft.marks, marks_version: draft.version };
}
const unsent = new Map(drafts.all());

json("/light-box/films")
  .then((found) => {
    const added = films.filter((f) => !found.some((other) => other.id === f.id));
    films = [...found.map((f) => (f.id === film?.id ? film : f)), ...added].map(withDraft);
    mount.lay(films, film?.id ?? null, choose);
    const last = films.find((f) => f.id === Number(drafts.remembered("film"))) ?? films.at(-1);
    if (film === null && last) choose(last.id);
  })
  .catch((error) => tell(error.message, true));
