import assert from "node:assert/strict";
import { test } from "node:test";
import { Settling } from "../static/light_box/settling.js";

function settling(t) {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const told = [];
  return [new Settling(350, (name, at) => told.push([name, at])), told];
}

test("a mark moved step by step is told once, where it came to rest", (t) => {
  const [moving, told] = settling(t);
  moving.move("16.mesial", [1, 0]);
  t.mock.timers.tick(300);
  moving.move("16.mesial", [2, 0]);
  t.mock.timers.tick(349);
  assert.deepEqual(told, []);
  t.mock.timers.tick(1);
  assert.deepEqual(told, [["16.mesial", [2, 0]]]);
});

test("moving another mark before the first has rested loses neither", (t) => {
  const [moving, told] = settling(t);
  moving.move("16.mesial", [1, 0]);
  moving.move("15.distal", [5, 5]);
  t.mock.timers.tick(350);
  assert.deepEqual(told, [["16.mesial", [1, 0]], ["15.distal", [5, 5]]]);
});

test("all are told at once when the film is left, and not again", (t) => {
  const [moving, told] = settling(t);
  moving.move("16.mesial", [1, 0]);
  moving.endAll();
  assert.deepEqual(told, [["16.mesial", [1, 0]]]);
  t.mock.timers.tick(1000);
  assert.equal(told.length, 1);
});

test("a mark removed while it moves stays removed", (t) => {
  const [moving, told] = settling(t);
  moving.move("16.mesial", [1, 0]);
  moving.forget("16.mesial");
  t.mock.timers.tick(1000);
  assert.deepEqual(told, []);
});
