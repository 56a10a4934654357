import assert from "node:assert/strict";
import { test } from "node:test";
import { changes, faultsText, newKey } from "../static/record/entry_fields.js";
import { FaultLetters } from "../static/record/fault_letters.js";

test("two letters choose a fault, others are told", () => {
  const letters = new FaultLetters(new Map([["cc", "cone-cut"], ["ov", "overlap"]]));
  assert.deepEqual(letters.take("C"), { fault: null, unknown: "" });
  assert.deepEqual(letters.take("Cc"), { fault: "cone-cut", unknown: "" });
  assert.deepEqual(letters.take("o v"), { fault: "overlap", unknown: "" });
  assert.deepEqual(letters.take("xx"), { fault: null, unknown: "xx" });
  assert.deepEqual(letters.take(""), { fault: null, unknown: "" });
});

test("a measured size stays with its fault, and goes with it", () => {
  assert.equal(faultsText(["overlap", "movement"], "overlap:0.4|cone-cut"), "overlap:0.4|movement");
  assert.equal(faultsText([], "overlap:0.4"), "");
  assert.equal(faultsText(["cone-cut"]), "cone-cut");
});

test("a correction says only what is otherwise", () => {
  assert.deepEqual(changes({ room: "R1", view: "occlusal" }, { room: "", view: "occlusal", note: "" }), { room: "" });
  assert.deepEqual(changes({}, { note: "x" }), { note: "x" });
});

test("a key is none that a number could be, and never the same", () => {
  assert.match(newKey(), /^page-[0-9a-f]{32}$/);
  assert.notEqual(newKey(), newKey());
});
