import assert from "node:assert/strict";
import { test } from "node:test";
import { expected } from "../static/light_box/expected.js";

const USUAL = {
  "14.distal": [6, -5],
  "15.mesial": [6.2, -5],
  "15.distal": [-1, -4],
  "16.mesial": [-0.8, -4],
  "45.mesial": [7, 6],
  "45.distal": [0, 6],
};
const moved = ([x, y], [dx, dy]) => [x + dx, y + dy];

test("with nothing marked a mark is expected at its usual place, and that is unsure", () => {
  const told = expected("15.mesial", USUAL, {});
  assert.deepEqual(told.at, [6.2, -5]);
  assert.ok(told.sd > 3);
});

test("where the others lie 3 mm to the side and lower, the wanted one is expected so too", () => {
  const seen = Object.fromEntries(["14.distal", "15.distal", "16.mesial"].map((name) => [name, moved(USUAL[name], [3, 2])]));
  const told = expected("15.mesial", USUAL, seen);
  assert.ok(Math.hypot(told.at[0] - 9.2, told.at[1] + 3) < 0.3, String(told.at));
  assert.ok(told.sd < 1.5);
});

test("the other side of the contact tells more than a mark of the other arch", () => {
  const beside = expected("15.mesial", USUAL, { "14.distal": USUAL["14.distal"] });
  const opposite = expected("15.mesial", USUAL, { "45.mesial": USUAL["45.mesial"] });
  assert.ok(beside.sd < opposite.sd);
});

test("a film stretched from its middle is expected to go on so", () => {
  const seen = Object.fromEntries(["14.distal", "15.distal", "45.mesial", "45.distal"].map((name) => [name, USUAL[name].map((x) => 1.3 * x)]));
  const told = expected("15.mesial", USUAL, seen);
  assert.ok(Math.hypot(told.at[0] - 8.06, told.at[1] + 6.5) < 0.6, String(told.at));
});

test("a mark that is placed already, or has no usual place, changes nothing", () => {
  const told = expected("15.mesial", USUAL, { "15.mesial": [0, 0], "18.mesial": [0, 0] });
  assert.deepEqual(told.at, [6.2, -5]);
});
