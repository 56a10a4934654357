import assert from "node:assert/strict";
import { test } from "node:test";
import { codeOf, missingBetween, numbersRight, numbersWords, renumbered, teethOf, turned } from "../static/light_box/numbers.js";

const mark = (x_px, more = {}) => ({ x_px, y_px: 50, sd_mm: 0.1, status: "seen", state: "proposed", ...more });
// A right side's film, the front to the right, 0.1 mm a pixel: teeth of 7 mm that touch.
const ROW = {
  "14.mesial": mark(300), "14.distal": mark(230), "15.mesial": mark(230), "15.distal": mark(160), "15.distal.crest": mark(160, { doubt: "numbering" }),
  "16.mesial": mark(160, { doubt: "faint" }), "16.distal": mark(60),
};
const PIXEL_MM = 0.1;
const after = (marks, changed) => Object.fromEntries(Object.entries({ ...marks, ...changed }).filter(([, value]) => value !== null));
const teeth = (marks) => [...new Set(Object.keys(marks).map(codeOf))].sort();

test("neighbours that touch are renumbered with the tooth that is named, whichever it is", () => {
  for (const from of [14, 15, 16]) {
    const { changed, teeth: moved } = renumbered(ROW, from, from + 1, PIXEL_MM);
    const made = after(ROW, changed);
    assert.deepEqual(moved, [14, 15, 16]);
    assert.deepEqual(teeth(made), [15, 16, 17]);
    assert.equal(made["16.distal.crest"].x_px, 160);
    assert.equal(made["16.distal.crest"].doubt, undefined, "its number is settled");
    assert.equal(made["17.mesial"].doubt, "faint", "other doubts stay");
  }
});

test("teeth beyond a gap stay, unless their number is taken", () => {
  const gap = { ...ROW, "16.mesial": mark(130), "16.distal": mark(30) };
  assert.deepEqual(teeth(after(gap, renumbered(gap, 14, 13, PIXEL_MM).changed)), [13, 14, 16]);
  assert.deepEqual(teeth(after(gap, renumbered(gap, 16, 17, PIXEL_MM).changed)), [14, 15, 17]);
  assert.deepEqual(teeth(after(gap, renumbered(gap, 15, 16, PIXEL_MM).changed)), [15, 16, 17]);
});

test("what a person has looked at never moves along, and may stand in the way", () => {
  const looked = { ...ROW, "16.distal": mark(60, { state: "confirmed" }) };
  assert.deepEqual(teeth(after(looked, renumbered(looked, 14, 13, PIXEL_MM).changed)), [13, 14, 16]);
  assert.deepEqual(renumbered(looked, 14, 15, PIXEL_MM), { stays: 16 });
  const own = renumbered(looked, 16, 17, PIXEL_MM);
  assert.equal(own.changed["17.distal"].state, "confirmed", "the tooth that is named goes as a whole");
});

test("no tooth gets a number that no bitewing has", () => {
  const back = { "47.mesial": mark(100), "48.mesial": mark(50) };
  assert.deepEqual(renumbered(back, 47, 48, PIXEL_MM), { beyond: true });
  assert.deepEqual(renumbered({ "13.distal": mark(9) }, 13, 12, PIXEL_MM), { beyond: true });
});

test("numbers said to be right are doubted no more, for that reason alone", () => {
  assert.deepEqual(Object.keys(numbersRight(ROW)), ["15.distal.crest"]);
});

test("the other side and the other mounting: other numbers, the same places", () => {
  const changed = turned(ROW, { view: "right-molar" }, { view: "left-molar", mounting: "mirrored" });
  const made = after(ROW, changed);
  assert.deepEqual(teeth(made), [24, 25, 26]);
  assert.equal(made["24.mesial"].x_px, 300);
});

test("the front at the other end: numbers and surfaces change places", () => {
  const changed = turned(ROW, { view: "right-molar" }, { view: "left-molar" });
  const made = after(ROW, changed);
  assert.equal(made["24.mesial"].x_px, 60, "what was the row's back is its front");
  assert.equal(made["26.distal"].x_px, 300);
  assert.ok(Object.values(made).every(({ doubt }) => doubt), "each is to be looked at anew");
  assert.deepEqual(turned(ROW, { view: "right-molar" }, { view: "right-premolar" }), {});
});

test("the teeth that are marked are told from front to back, above and below", () => {
  assert.equal(numbersWords(ROW), "14 to 16 above");
  assert.equal(numbersWords({ ...ROW, "45.mesial": mark(200), "34.distal": mark(10) }), "14 to 16 above, 34 to 45 below");
  assert.equal(numbersWords({ "46.mesial.crest": mark(1) }), "46 below");
  assert.equal(numbersWords({}), "");
});

test("a tooth without a mark between marked ones of its row is missing; one beyond them is not", () => {
  assert.deepEqual(missingBetween(ROW), []);
  const { "15.mesial": m, "15.distal": d, "15.distal.crest": c, ...gap } = ROW;
  assert.deepEqual(missingBetween(gap), [15]);
  assert.deepEqual(missingBetween({ ...gap, "43.distal": mark(300), "47.mesial": mark(60) }), [15, 44, 45, 46]);
  assert.deepEqual(missingBetween({ "16.mesial": mark(1), "45.mesial": mark(2) }), [], "rows of two quadrants are no row");
});

test("every tooth that a side's bitewings show can be said to be missing", () => {
  assert.deepEqual(teethOf("right-molar-vertical"), [13, 14, 15, 16, 17, 18, 43, 44, 45, 46, 47, 48]);
  assert.deepEqual(teethOf("left-premolar").slice(5, 7), [28, 33]);
});
