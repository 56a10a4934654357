// The edge of the part that a cone cut left blank, placed on the film: two places where it is straight, more where it is round.
import { keep } from "./keeping.js";
import { laid } from "./laid.js";
import * as marks from "./marks.js";
import { by, mayWrite, tell } from "./page.js";
import { many } from "./proposals.js";

const CONE_CUT = "cone-cut", MOST = 20;
let placing = false;
let first = null; // one place alone is no edge yet: it waits here

const seen = () => (laid.film?.marks.observations ?? []).find(({ name }) => name === CONE_CUT);
const kept = () => seen()?.edge ?? [];
const places = () => (first ? [first] : kept());

export const isPlacing = () => placing;

// The film on the stage, as it is kept.
export function refresh() {
  if (!seen() || !mayWrite) placing = false;
  if (!seen() || kept().length) first = null;
  const given = places();
  by("cone-cut-edge").hidden = !seen();
  by("edge-places").setAttribute("aria-pressed", String(placing));
  by("edge-places").disabled = given.length >= MOST;
  by("edge-last-off").hidden = !given.length;
  by("edge-said").textContent = said(given.length);
  marks.drawEdge(given.map(({ x_px, y_px }) => [x_px, y_px]));
}

function said(count) {
  if (count === 0) return placing ? "Click two places on the edge, or take the cross there with the arrow keys and press Enter; three or more if it is round." : "How much stayed blank is not known until its edge is marked.";
  if (count === 1) return "One place. A second makes a straight edge.";
  return count === 2 ? "Two places: a straight edge. A third makes it round." : `${many(count, "place")}: straight if they lie on a line, else round.`;
}

export function toggle() {
  if (!seen()) return; // a key can press a button that is out of sight
  placing = !placing;
  if (placing) by("stage").focus();
  else first = null;
  refresh();
}

// Another film lies on the stage.
export function begin() {
  placing = false;
  first = null;
}

export function place([x, y]) {
  const { film } = laid;
  if (x < 0 || y < 0 || x > film.columns || y > film.rows) return;
  const added = [...places(), { x_px: Math.round(x * 4) / 4, y_px: Math.round(y * 4) / 4 }];
  if (added.length > MOST) return;
  set(added);
  tell(said(added.length));
}

export const lastOff = () => set(places().slice(0, -1));

function set(given) {
  const { edge, ...alone } = seen();
  first = given.length === 1 ? given[0] : null;
  const others = laid.film.marks.observations.filter(({ name }) => name !== CONE_CUT);
  if (given.length < 2 && !edge) refresh(); // nothing that is kept has changed
  else keep({ ...laid.film.marks, observations: [...others, given.length < 2 ? alone : { ...alone, edge: given }] });
}
