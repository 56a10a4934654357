// The best aim and place: found, shown as a ghost, with the room left about it.
import { json } from "../fetched.js";
import * as drawings from "./drawings.js";
import * as numbers from "./settings.js";

const SLIPS = {
  "tube-forward": ["ring_offset_deg", "front"],
  "tube-back": ["ring_offset_deg", "back"],
  "tube-up": ["vertical_deg", "down"],
  "tube-down": ["vertical_deg", "up"],
  "receptor-forward": ["forward_mm", "front"],
  "receptor-back": ["forward_mm", "back"],
};
const button = document.getElementById("plan");
const further = document.getElementById("further");
let planning = null;
let plan = null;

// What the plan was found for is gone.
export function forget() {
  planning?.abort();
  plan = null;
  showFurther();
  numbers.showRoom(null);
  document.getElementById("room-words").textContent = "";
}

// The plan of what lies on the bench, found once; null where it was no longer wanted.
export async function find(query, tell) {
  button.disabled = true;
  tell("Looking for the best aim and place.");
  planning = new AbortController();
  const { signal } = planning;
  try {
    const found = await json(`/bench/plan?${query}`, { signal });
    const asked = new URLSearchParams([...new URLSearchParams(query), ["settings", JSON.stringify(found.settings)]]);
    const planned = await json(`/bench/exposure?${asked}`, { signal });
    plan = found;
    showRoomLeft();
    showFurther();
    drawings.ghost(planned.drawing);
    return { settings: found.settings, frame: () => drawings.frame(planned.drawing) };
  } catch (error) {
    if (error.name !== "AbortError") tell(error.message, true);
    return null;
  } finally {
    button.disabled = false;
  }
}

// How far the tube stands forward of the plan now; nothing where there is no plan.
export function showFurther() {
  if (document.activeElement === further) return;
  further.value = plan === null ? "" : String(Number((numbers.value("ring_offset_deg") - plan.settings.ring_offset_deg).toFixed(1)));
}

// One entry: so many degrees further forward than the plan, which is looked for where there is none yet.
export function onFurther(seek) {
  further.addEventListener("input", () => {
    if (plan !== null && further.value !== "") numbers.set(swungOn(plan.settings));
  });
  further.addEventListener("change", async () => {
    if (plan !== null || further.value === "") return;
    const found = await seek();
    if (found === null) return;
    numbers.set(swungOn(found.settings));
    found.frame();
  });
}

const swungOn = (planned) => ({ ...planned, ring_offset_deg: planned.ring_offset_deg + Number(further.value) });

function showRoomLeft() {
  const texts = {};
  for (const slip of plan.tolerances) {
    const [name, way] = SLIPS[slip.slip];
    const unit = slip.unit === "deg" ? "°" : " mm";
    texts[name] = `${texts[name] ?? "room left:"} ${way} ${roomOf(slip, unit)};`;
  }
  for (const name of Object.keys(texts)) texts[name] = texts[name].replace(/;$/, "");
  numbers.showRoom(texts);
  document.getElementById("room-words").textContent =
    "Room left about the best aim, each movement alone, is told under its slider; the ghost shows the planned place.";
}

// Until whatever comes first: a target that was met is lost, or a criterion fails; where both are at once, that it fails.
function roomOf(slip, unit) {
  const events = [
    [slip.until_target_lost, `then short: ${slip.target_lost_title}`],
    [slip.until_failed, `then failed: ${slip.failed_title}`],
  ].filter(([until]) => until !== null);
  if (events.length === 0) return `more than ${slip.tried}${unit}`;
  const [until, words] = events.reduce((one, other) => (other[0] <= one[0] ? other : one));
  return `${Number(until.toFixed(1))}${unit} (${words})`;
}
