import assert from "node:assert/strict";
import { test } from "node:test";

const { Belonging, CALM_MS, OLD_MS, SETTLED_MS } = await import("../static/bench/belonging.js");

// A hand at 60 Hz, answers that each take so long, one under way at a time: when grey, at every look.
function drag({ answer_ms, seconds, stall = [] }) {
  const of = new Belonging(), greys = [];
  let seq = 0, onItsWay = null;
  for (let now = 0; now < seconds * 1000; now += 4) {
    if (now % 16 === 0) of.wished((seq += 1), now);
    const stalled = now >= stall[0] && now < stall[1];
    if (onItsWay && now >= onItsWay.due && !stalled) {
      of.shown(onItsWay.seq);
      onItsWay = null;
    }
    onItsWay ??= { seq, due: now + answer_ms };
    greys.push(of.isOld(now));
  }
  return { of, greys, turns: greys.filter((grey, k) => k && grey !== greys[k - 1]).length };
}

test("what is of the setting that is wanted is never old", () => {
  const of = new Belonging();
  of.wished(1, 0);
  of.shown(1);
  assert.equal(of.isOld(1e6), false);
});

test("what a setting leaves behind is old after a while, and the server's silence too", () => {
  const of = new Belonging();
  of.wished(1, 0);
  of.shown(1);
  of.wished(2, 1000);
  assert.equal(of.isOld(1000 + OLD_MS), false);
  assert.equal(of.isOld(1001 + OLD_MS), true);
  assert.equal(of.isOld(8990), true);
  of.wished(3, 9000);
  of.shown(2);
  assert.equal(of.isOld(9001), true);
  of.shown(3);
  assert.equal(of.isOld(9001 + SETTLED_MS), false);
});

test("where nothing is on show nothing is old", () => {
  const of = new Belonging();
  of.gone();
  of.wished(1, 0);
  assert.equal(of.isOld(1000 + OLD_MS), false);
  of.shown(1);
  of.wished(2, 2000);
  assert.equal(of.isOld(2001 + OLD_MS), true);
});

test("a film that keeps up with a hand is never grey", () => {
  assert.equal(drag({ answer_ms: 60, seconds: 3 }).turns, 0);
});

test("one that does not keep up turns grey once, also where it is now just in time and now late", () => {
  for (const answer_ms of [80, 100, 130, 200, 400]) {
    assert.ok(drag({ answer_ms, seconds: 4 }).turns <= 1, `${answer_ms} ms`);
  }
});

test("after a halt it is grey, and no more once it has kept up for a while", () => {
  const { greys, turns } = drag({ answer_ms: 30, seconds: 4, stall: [1000, 1400] });
  assert.equal(turns, 2);
  assert.equal(greys[1400 / 4 + 10], true);
  assert.equal(greys[(1400 + CALM_MS + 100) / 4], false);
});

test("a hand that goes in steps, each answered a little late, makes it grey once", () => {
  const of = new Belonging();
  let turns = 0, was = false;
  for (let now = 0; now < 4000; now += 4) {
    if (now % 200 === 0) of.wished(now / 200 + 1, now);
    if (now % 200 === 180) of.shown((now - 180) / 200 + 1);
    const is = of.isOld(now);
    turns += Number(is !== was);
    was = is;
  }
  assert.equal(turns, 1);
});
