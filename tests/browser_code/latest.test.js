import assert from "node:assert/strict";
import { test } from "node:test";
import { Latest } from "../static/latest.js";

test("of two begun, the first is no longer the last", () => {
  const latest = new Latest();
  const first = latest.begin();
  assert.equal(first(), true);
  const second = latest.begin();
  assert.equal(first(), false);
  assert.equal(second(), true);
});

test("two of them do not count together", () => {
  const one = new Latest().begin();
  new Latest().begin();
  assert.equal(one(), true);
});
