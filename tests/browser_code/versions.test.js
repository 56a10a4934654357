import assert from "node:assert/strict";
import { test } from "node:test";
import { differences, together } from "../static/light_box/versions.js";

const mark = (x_px, y_px) => ({ x_px, y_px, status: "seen" });
const HERE = { view: "right-molar", marks: { "16.mesial": mark(10, 20), "15.distal": mark(5, 5) } };
const THERE = { view: "right-molar", holder: "ring-holder", marks: { "16.mesial": mark(12, 20), "15.distal": { x_px: 5, y_px: 5 }, "14.distal": { status: "outside" } } };

test("only what differs is told, fields and marks", () => {
  assert.deepEqual(differences(HERE, THERE).map(({ name }) => name), ["holder", "16.mesial", "14.distal"]);
  assert.deepEqual(differences(HERE, HERE), []);
});

test("a mark that was confirmed on one page alone differs", () => {
  const of = (state) => ({ marks: { "16.mesial": { ...mark(10, 20), state } } });
  assert.deepEqual(differences(of("confirmed"), of("proposed")).map(({ name }) => name), ["16.mesial"]);
  assert.deepEqual(differences(of("confirmed"), of("confirmed")), []);
});

test("together every mark of either stands, and ours where both have one", () => {
  const both = together(HERE, THERE);
  assert.deepEqual(Object.keys(both.marks).sort(), ["14.distal", "15.distal", "16.mesial"]);
  assert.equal(both.marks["16.mesial"].x_px, 10);
  assert.equal(both.holder, "ring-holder");
});

test("answers from the chairside differ one by one, and stand together", () => {
  const ours = { ...HERE, answers: { bite: true, front: false } };
  const theirs = { ...HERE, answers: { bite: false, low: true } };
  assert.deepEqual(differences(ours, theirs).map(({ name }) => name).sort(), ["answer bite", "answer front", "answer low"]);
  assert.deepEqual(differences(ours, ours), []);
  assert.deepEqual(together(ours, theirs).answers, { bite: true, low: true, front: false });
  assert.equal("answers" in together(HERE, THERE), false);
});
