import assert from "node:assert/strict";
import { test } from "node:test";
import { hasRingAnswers, withoutRingAnswers } from "../static/light_box/ring_answers.js";

const MARKS = { view: "right-molar", holder: "tab", marks: {} };

test("what was answered of rim and ring is found, and nothing else taken for it", () => {
  assert.equal(hasRingAnswers({ ...MARKS, rim_flush: false }), true);
  assert.equal(hasRingAnswers({ ...MARKS, answers: { "gap-above": false } }), true);
  assert.equal(hasRingAnswers({ ...MARKS, answers: { bite: true } }), false);
  assert.equal(hasRingAnswers(MARKS), false);
});

test("it alone is left out", () => {
  const answered = { ...MARKS, rim_flush: true, answers: { "gap-along": true, bite: false } };
  assert.deepEqual(withoutRingAnswers(answered), { ...MARKS, answers: { bite: false } });
  assert.deepEqual(withoutRingAnswers({ ...MARKS, answers: { "gap-along": true } }), MARKS);
});
