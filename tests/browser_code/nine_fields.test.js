import assert from "node:assert/strict";
import { test } from "node:test";
import { NineFields } from "../static/light_box/nine_fields.js";

test("digits lie as on a number pad", () => {
  assert.deepEqual(new NineFields([0, 0], 3, 0.1).take(7), [-2, -2]);
  assert.deepEqual(new NineFields([0, 0], 3, 0.1).take(6), [2, 0]);
  assert.deepEqual(new NineFields([0, 0], 3, 0.1).take(2), [0, 2]);
});

test("any place within nine fields is reached by digits alone, each a third of the last", () => {
  for (const goal of [[2.9, -2.9], [0.1, 1.3], [-1.05, 0.95]]) {
    const fields = new NineFields([0, 0], 3, 0.01);
    for (let i = 0; i < 3; i += 1) {
      const [column, row] = [0, 1].map((axis) => Math.max(-1, Math.min(1, Math.round((1.5 * (goal[axis] - fields.at[axis])) / fields.half))));
      fields.take(5 + column - 3 * row);
    }
    assert.ok(Math.max(...[0, 1].map((axis) => Math.abs(goal[axis] - fields.at[axis]))) <= 3 / 27 + 1e-9);
  }
});

test("fields grow no finer than a hand can mean", () => {
  const fields = new NineFields([0, 0], 3, 0.8);
  fields.take(5);
  fields.take(5);
  assert.equal(fields.half, 0.8);
});
