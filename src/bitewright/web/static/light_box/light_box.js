// The light box: buttons, keys and hands on the film, and the films that lie there at first.
import { json } from "../fetched.js";
import { onGoneBack } from "../gone_back.js";
import "../paper.js";
import * as aiming from "./aiming.js";
import * as beside from "./beside.js";
import * as clearEdge from "./clear_edge.js";
import * as deciding from "./deciding.js";
import * as drafts from "./drafts.js";
import "./film_files.js";
import { removeFilm } from "./film_forms.js";
import { onRemove, refresh } from "./film_sheet.js";
import * as glass from "./glass.js";
import { handle, zoomIn, zoomOut } from "./hands.js";
import { onReplaced, saves, withDraft } from "./keeping.js";
import { laid, marksOf } from "./laid.js";
import * as looking from "./looking.js";
import * as marks from "./marks.js";
import { cancel } from "./measuring.js";
import * as mount from "./mount.js";
import { confirmNumbers } from "./numbering.js";
import { bringIntoView, by, tell, toggle } from "./page.js";
import * as placing from "./placing.js";
import * as proposing from "./proposing.js";
import { cancelMany, closeMany, proposeMany, showAgain } from "./proposing_many.js";
import { save } from "./saved_picture.js";
import * as seeing from "./seeing.js";
import { choose } from "./stage.js";
import * as viewer from "./viewer.js";
import { later } from "./wanted.js";

const isDifference = () => by("difference").getAttribute("aria-pressed") === "true";
const ACTS = {
  fit: viewer.fit,
  "true-size": viewer.trueSize,
  "zoom-in": zoomIn,
  "zoom-out": zoomOut,
  invert: (b) => b.setAttribute("aria-pressed", String(viewer.invert())),
  magnify: (b) => !toggle(b) && glass.close(),
  snap: toggle,
  "to-edge": placing.currentToBorder,
  undo: placing.undo,
  skip: later,
  outside: () => placing.without("outside"),
  "hidden-mark": () => placing.without("hidden"),
  "tooth-missing": () => placing.toothMissing(),
  "crest-seen": placing.crestSeen,
  "all-crests": seeing.allCrestsSeen,
  "edge-places": clearEdge.toggle,
  "edge-last-off": clearEdge.lastOff,
  difference: (b) => viewer.blend(by("blend").value / 100, toggle(b)),
  "send-again": () => saves.again(),
  "save-film": () => save(laid.film.label, {}, { withMarks: false }),
  "save-marked": () => save(laid.film.label, marksOf(laid.film), { withMarks: true }),
  cancel,
  propose: proposing.propose,
  "propose-cancel": proposing.cancel,
  "next-doubted": looking.nextDoubted,
  accept: () => looking.accept(),
  "confirm-rest": looking.confirmRest,
  "discard-proposed": looking.discard,
  "numbers-right": confirmNumbers,
  "remove-film": removeFilm,
  "to-decision": deciding.bringForward,
};
const KEYS = { f: "fit", 0: "true-size", i: "invert", m: "magnify", n: "snap", e: "to-edge", u: "undo", s: "skip", o: "outside", h: "hidden-mark", t: "tooth-missing", c: "crest-seen", p: "propose", d: "next-doubted", a: "accept", b: "edge-places", k: "to-decision" };
for (const [id, act] of Object.entries(ACTS)) by(id).addEventListener("click", (event) => laid.film && act(event.currentTarget));
addEventListener("keydown", (event) => {
  if (event.target.closest("input:not([type=range], [type=checkbox]), select, textarea") || event.ctrlKey || event.metaKey || event.altKey) return;
  if (laid.film && aiming.isAimed() && /^[1-9]$/.test(event.key)) {
    aiming.takeField(Number(event.key));
    event.preventDefault();
    return;
  }
  const id = KEYS[event.key.toLowerCase()];
  if (id === "next-doubted" && laid.film) looking.nextDoubted(); // also where no doubted mark is left: on to what is
  else if (id && laid.film && !(id === "accept" && event.repeat)) by(id).click();
});
by("missing-teeth").addEventListener("click", ({ target }) => target.dataset.tooth && placing.toothThere(Number(target.dataset.tooth)));
by("propose-many").addEventListener("click", proposeMany);
by("many-cancel").addEventListener("click", cancelMany);
by("many-close").addEventListener("click", closeMany);
by("blend").addEventListener("input", () => viewer.blend(by("blend").value / 100, isDifference()));

marks.onMark({ moved: (name, at) => placing.moving.move(name, at), removed: looking.takeAway, focused: inFocus, accepted: looking.accept });
function inFocus(name) {
  placing.inFocus(name);
  looking.at(name);
}
marks.onCross(aiming.crossMoved);
handle({
  hasFilm: () => laid.film !== null,
  isWanted: () => clearEdge.isPlacing() || aiming.isAimed(),
  place: (at, event) => (clearEdge.isPlacing() ? clearEdge.place(at) : placing.placeNext(at, event)),
  hover: aiming.hovered,
  dropped: placing.putDown,
  moved: refresh, // a drag that was broken off: back where it was
});
onRemove(placing.remove);
onReplaced(placing.forgetDone);
mount.onChoose(async (id) => {
  await choose(id);
  bringIntoView(by("viewer-title"), by("stage"));
});
viewer.onMove(() => {
  marks.size();
  beside.follow();
});

// The films that lie on the light box; what was added or marked here meanwhile stays.
async function layFilms() {
  const found = await json("/light-box/films", { cache: "no-store" }); // not what a browser kept for going back
  const added = laid.films.filter((f) => !found.some((other) => other.id === f.id));
  laid.films = [...found.map((f) => (f.id === laid.film?.id ? laid.film : f)), ...added].map(withDraft);
  mount.lay(laid.films, laid.film?.id ?? null);
  const last = laid.films.find((f) => f.id === Number(drafts.remembered("film"))) ?? laid.films.at(-1);
  showAgain();
  if (laid.film === null && last) choose(last.id);
}

layFilms().catch((error) => tell(error.message, true));
onGoneBack(() => location.reload()); // films may have been marked, decided on or taken off since
