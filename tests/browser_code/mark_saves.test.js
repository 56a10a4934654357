import assert from "node:assert/strict";
import { test } from "node:test";
import { MarkSaves } from "../static/light_box/mark_saves.js";

// A server that answers when told to, and keeps what it took.
function server() {
  const kept = [];
  const waiting = [];
  const send = (id, version, marks) =>
    new Promise((answer, refuse) => {
      waiting.push({
        answer: () => {
          kept.push({ id, version, marks });
          answer({ marks_version: version + 1 });
        },
        refuse: (status) => refuse(Object.assign(new Error("refused"), { status })),
      });
    });
  return { kept, waiting, send };
}

const drafts = {};
function saves(send) {
  const told = [];
  const made = new MarkSaves({
    send,
    saved: (id, film) => told.push(["saved", id, film.marks_version]),
    refused: (id, error) => told.push(["refused", id, error.status]),
    delayed: (waiting) => told.push(["waiting", ...waiting.keys()]),
    drafts: { put: (id, { marks }) => (drafts[id] = marks), drop: (id) => delete drafts[id] },
    rest_ms: [5],
  });
  return [made, told];
}

const turn = () => new Promise((done) => setImmediate(done));

test("a save that waits behind another is sent though another film is marked meanwhile", async () => {
  const { kept, waiting, send } = server();
  const [made] = saves(send);
  made.keep("a", 1, "one");
  made.keep("a", 1, "one, two");
  made.keep("b", 7, "other film");
  while (waiting.length) {
    waiting.shift().answer();
    await turn();
  }
  assert.deepEqual(
    kept.filter(({ id }) => id === "a"),
    [
      { id: "a", version: 1, marks: "one" },
      { id: "a", version: 2, marks: "one, two" },
    ],
  );
  assert.deepEqual(kept.at(1), { id: "b", version: 7, marks: "other film" });
});

test("of marks that wait only the newest are sent", async () => {
  const { kept, waiting, send } = server();
  const [made] = saves(send);
  for (const marks of ["1", "12", "123", "1234"]) made.keep("a", 1, marks);
  while (waiting.length) {
    waiting.shift().answer();
    await turn();
  }
  assert.deepEqual(kept.map(({ marks }) => marks), ["1", "1234"]);
});

test("settled waits for all that is on its way of that film", async () => {
  const { waiting, send } = server();
  const [made, told] = saves(send);
  made.keep("a", 1, "one");
  made.keep("a", 1, "two");
  let settled = false;
  const wait = made.settled("a").then(() => (settled = true));
  waiting.shift().answer();
  await turn();
  assert.equal(settled, false);
  waiting.shift().answer();
  await wait;
  assert.deepEqual(told, [["saved", "a", 2], ["saved", "a", 3]]);
  await made.settled("never marked");
});

test("a refusal is told, and later marks are sent again from the version that stands", async () => {
  const { kept, waiting, send } = server();
  const [made, told] = saves(send);
  made.keep("a", 4, "one");
  made.keep("a", 4, "one, two");
  waiting.shift().refuse(400);
  await turn();
  waiting.shift().answer();
  await made.settled("a");
  assert.deepEqual(told, [["refused", "a", 400], ["saved", "a", 5]]);
  assert.deepEqual(kept, [{ id: "a", version: 4, marks: "one, two" }]);
});

test("what waited when another page had changed the film is not written over it", async () => {
  const { waiting, send } = server();
  const [made, told] = saves(send);
  made.keep("a", 4, "one");
  made.keep("a", 4, "one, two");
  waiting.shift().refuse(409);
  await made.settled("a");
  assert.equal(waiting.length, 0);
  assert.deepEqual(told, [["refused", "a", 409]]);
});

const rest = () => new Promise((done) => setTimeout(done, 20));

test("while the server is away the newest marks wait, and are sent again by themselves", async () => {
  const { kept, waiting, send } = server();
  const [made, told] = saves(send);
  made.keep("a", 4, "one");
  waiting.shift().refuse(undefined);
  await turn();
  made.keep("a", 4, "one, two");
  assert.equal(drafts.a, "one, two");
  await made.settled("a");
  await rest();
  waiting.shift().refuse(503);
  await rest();
  waiting.shift().answer();
  await turn();
  assert.deepEqual(kept, [{ id: "a", version: 4, marks: "one, two" }]);
  assert.deepEqual(told, [["waiting", "a"], ["waiting", "a"], ["waiting"], ["saved", "a", 5]]);
  assert.equal("a" in drafts, false);
});

test("a browser that is not let in any more keeps its marks until it is", async () => {
  const { kept, waiting, send } = server();
  const [made] = saves(send);
  made.keep("b", 1, "one");
  waiting.shift().refuse(403);
  await turn();
  made.again();
  await turn();
  waiting.shift().answer();
  await turn();
  assert.equal(kept.length, 1);
  assert.equal(made.has("b"), false);
});

test("what a conflict leaves unsent stays a draft", async () => {
  const { waiting, send } = server();
  const [made] = saves(send);
  made.keep("c", 1, "ours");
  waiting.shift().refuse(409);
  await made.settled("c");
  assert.equal(drafts.c, "ours");
});

test("what was sent while the server was away is told with a refusal, for it may have been taken", async () => {
  const { waiting, send } = server();
  const asked = [];
  const made = new MarkSaves({ send, saved() {}, refused: (id, error, marks, unanswered) => asked.push([marks, unanswered]), rest_ms: [0] });
  made.keep("a", 4, "one");
  waiting.shift().refuse(undefined);
  await turn();
  made.keep("a", 4, "one, two");
  await rest();
  waiting.shift().refuse(409);
  await made.settled("a");
  assert.deepEqual(asked, [["one, two", ["one"]]]);
});

test("what was on its way when a page was left is told with a refusal to the page after it", async () => {
  const left = {};
  const first = server();
  const before = new MarkSaves({ send: first.send, saved() {}, refused() {}, drafts: { put: (id, draft) => (left[id] = draft), drop() {} } });
  before.keep("a", 4, "one");
  before.keep("a", 4, "one, two"); // and the page is left, the answer to the first on its way
  const second = server(), asked = [];
  const after = new MarkSaves({ send: second.send, saved() {}, refused: (id, error, marks, unanswered) => asked.push([marks, unanswered]) });
  after.keep("a", left.a.version, left.a.marks, left.a.sent);
  assert.equal(after.isBehind("a"), false);
  second.waiting.shift().refuse(409);
  await after.settled("a");
  assert.deepEqual(asked, [["one, two", ["one"]]]);
});
