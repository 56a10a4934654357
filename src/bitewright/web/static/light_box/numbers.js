// Tooth numbers of proposed marks, corrected: neighbours that touch follow one another, so they move along.
// What a person has confirmed, moved or set stays, but for the tooth that is named itself.

const FIRST = 3, LAST = 8; // canine to third molar, counted from the midline
const APART_MM = 2.5; // teeth further apart may have lost one between them
const USUAL_MM = 0.05; // a pixel, where nothing says it
const OTHER_SIDE = { 1: 2, 2: 1, 3: 4, 4: 3 };
const TURNED = { mesial: "distal", distal: "mesial" };

export const codeOf = (name) => Number(name.split(".")[0]);
const place = (code) => code % 10;
const surfaceOf = (name) => name.slice(name.indexOf(".") + 1);
const ofTooth = (marks, code) => Object.entries(marks).filter(([name]) => codeOf(name) === code);
const isLooked = (marks, code) => ofTooth(marks, code).some(([, mark]) => mark.state !== "proposed");
const isThere = (marks, code) => ofTooth(marks, code).length > 0;

// Every number that a tooth of this arch may have.
export const choices = (code) => Array.from({ length: LAST - FIRST + 1 }, (_, n) => code - place(code) + FIRST + n);

function touch(marks, front, mm) {
  const [ahead, behind] = [marks[`${front}.distal`], marks[`${front + 1}.mesial`]];
  if (ahead?.x_px === undefined || behind?.x_px === undefined) return true;
  return Math.abs(ahead.x_px - behind.x_px) * mm < APART_MM;
}

// One tooth gets another number. Gives back the marks to change, names and all, and which teeth moved along;
// or, as `stays`, the tooth whose looked-at marks stand in the way; or that a number would be `beyond` a bitewing's.
export function renumbered(marks, from, to, pixelMm) {
  const step = to - from, mm = pixelMm ?? USUAL_MM, moved = [from];
  const goes = (code, isNear) => isThere(marks, code) && !isLooked(marks, code) && isNear;
  for (let code = from; goes(code + 1, touch(marks, code, mm)); code += 1) moved.push(code + 1);
  for (let code = from; goes(code - 1, touch(marks, code - 1, mm)); code -= 1) moved.push(code - 1);
  for (let k = 0; k < moved.length; k += 1) {
    for (let at = moved[k]; at !== moved[k] + step; ) {
      at += Math.sign(step);
      if (!isThere(marks, at) || moved.includes(at)) continue;
      if (isLooked(marks, at)) return { stays: at };
      moved.push(at); // across a gap that closes
    }
  }
  const out = moved.map((code) => code + step).find((code) => Math.floor(code / 10) !== Math.floor(from / 10) || place(code) < FIRST || place(code) > LAST);
  if (out !== undefined) return { beyond: true };
  return { changed: renamed(marks, new Map(moved.map((code) => [code, code + step])), (surface) => surface), teeth: moved.sort((a, b) => a - b) };
}

// A person who has named a tooth has settled its number.
function numbered({ doubt, ...mark }) {
  return doubt === "numbering" ? mark : { ...mark, ...(doubt && { doubt }) };
}

function renamed(marks, codes, surface) {
  const given = Object.entries(marks).filter(([name]) => codes.has(codeOf(name)));
  const gone = given.map(([name]) => [name, null]);
  const made = given.map(([name, mark]) => [`${codes.get(codeOf(name))}.${surface(surfaceOf(name))}`, numbered(mark)]);
  return { ...Object.fromEntries(gone), ...Object.fromEntries(made) };
}

// The numbers are right as they stand: what is doubted for its number alone is so no more.
export function numbersRight(marks) {
  return Object.fromEntries(Object.entries(marks).filter(([, mark]) => mark.state === "proposed" && mark.doubt === "numbering").map(([name, mark]) => [name, numbered(mark)]));
}

// Which teeth are marked, in words: "14 to 17 above, 44 to 47 below".
export function numbersWords(marks) {
  const codes = [...new Set(Object.keys(marks).map(codeOf))];
  const row = (quadrants, where) => {
    const places = codes.filter((code) => quadrants.includes(Math.floor(code / 10))).sort((a, b) => a - b);
    if (!places.length) return [];
    const [front, back] = [places[0], places.at(-1)];
    return [`${front === back ? front : `${front} to ${back}`} ${where}`];
  };
  return [...row([1, 2], "above"), ...row([3, 4], "below")].join(", ");
}

// Teeth of which nothing is marked between marked ones of their row: for whoever says that the numbers are right, missing.
export function missingBetween(marks) {
  const codes = [...new Set(Object.keys(marks).map(codeOf))];
  return [1, 2, 3, 4].flatMap((quadrant) => {
    const places = codes.filter((code) => Math.floor(code / 10) === quadrant).sort((a, b) => a - b);
    if (!places.length) return [];
    return Array.from({ length: places.at(-1) - places[0] }, (_, n) => places[0] + n).filter((code) => !places.includes(code));
  });
}

// Teeth that a view can show, of both arches.
export const teethOf = (view) => ((view ?? "").startsWith("left") ? [2, 3] : [1, 4]).flatMap((quadrant) => choices(quadrant * 10 + FIRST));

// Each tooth's number and the middle of its seen marks: [code, x, y]. [pixels]
export function toothPlaces(marks) {
  const teeth = new Map();
  for (const [name, { x_px, y_px }] of Object.entries(marks)) if (x_px !== undefined) teeth.set(codeOf(name), [...(teeth.get(codeOf(name)) ?? []), [x_px, y_px]]);
  const middle = (places, axis) => (Math.min(...places.map((p) => p[axis])) + Math.max(...places.map((p) => p[axis]))) / 2;
  return [...teeth].map(([code, places]) => [code, middle(places, 0), middle(places, 1)]);
}

const sideOf = ({ view }) => (view ?? "").split("-")[0];
const isFrontRight = (of) => (sideOf(of) === "right") !== (of.mounting === "mirrored");

// The side or the mounting is another one: proposed marks take the other side's numbers, and where the front of the
// mouth comes to lie at the other end, front and back change places too.
export function turned(marks, was, now) {
  if (!was.view || !now.view) return {};
  const isOther = sideOf(was) !== sideOf(now), isEndOther = isFrontRight(was) !== isFrontRight(now);
  if (!isOther && !isEndOther) return {};
  const proposed = Object.fromEntries(Object.entries(marks).filter(([, mark]) => mark.state === "proposed"));
  const changed = {}, codes = new Map();
  for (const quadrant of [1, 2, 3, 4]) {
    const own = [...new Set(Object.keys(proposed).map(codeOf))].filter((code) => Math.floor(code / 10) === quadrant).sort((a, b) => a - b);
    const ends = isEndOther ? [...own].reverse() : own;
    own.forEach((code, n) => codes.set(code, (isOther ? OTHER_SIDE[quadrant] : quadrant) * 10 + place(ends[n])));
  }
  const surface = (said) => (isEndOther ? said.split(".").map((part) => TURNED[part] ?? part).join(".") : said);
  Object.assign(changed, renamed(proposed, codes, surface));
  for (const [name, mark] of Object.entries(changed)) {
    if (mark === null) continue;
    if (marks[name] && marks[name].state !== "proposed") delete changed[name]; // a person's own mark stays
    else if (isEndOther) changed[name] = { ...mark, doubt: mark.doubt ?? "numbering" };
  }
  return changed;
}
