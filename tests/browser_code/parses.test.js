import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { test } from "node:test";
import { SourceTextModule } from "node:vm";

const STATIC = new URL("../static/", import.meta.url);

test("every script of the pages is JavaScript", () => {
  const scripts = readdirSync(STATIC, { recursive: true }).filter((name) => name.endsWith(".js") && !name.startsWith("vendor"));
  assert.ok(scripts.length > 20);
  for (const name of scripts) {
    // Read as a browser reads it before it runs any of it.
    new SourceTextModule(readFileSync(new URL(name, STATIC), "utf8"), { identifier: name });
  }
});
