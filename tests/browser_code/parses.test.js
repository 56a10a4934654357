import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { test } from "node:test";

const STATIC = new URL("../static/", import.meta.url);

test("every script of the pages is JavaScript", () => {
  const scripts = readdirSync(STATIC, { recursive: true }).filter((name) => name.endsWith(".js") && !name.startsWith("vendor"));
  assert.ok(scripts.length > 20);
  for (const name of scripts) {
    const told = spawnSync(process.execPath, ["--check", new URL(name, STATIC).pathname], { encoding: "utf8" });
    assert.equal(told.status, 0, told.stderr);
  }
});
