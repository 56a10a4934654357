import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

class Socket {
  static OPEN = 1;
  static made = [];
  readyState = Socket.OPEN;
  sent = [];
  constructor(address) {
    this.address = address;
    Socket.made.push(this);
  }
  send(text) {
    this.sent.push(JSON.parse(text));
  }
  answer(seq, more = {}) {
    this.onmessage({ data: JSON.stringify({ seq, took_ms: 0, ...more }) });
  }
  close() {
    this.onclose();
  }
}
globalThis.WebSocket = Socket;
globalThis.location = { protocol: "http:", host: "here" };
const { Wire } = await import("../static/bench/wire.js");

let answered, failed, wire, socket;
beforeEach(() => {
  answered = [];
  failed = [];
  wire = new Wire("/moving", { answered: ({ seq }) => answered.push(seq), failed: (text) => failed.push(text), gone: () => failed.push("gone") });
  socket = Socket.made.at(-1);
  socket.onopen();
});

test("wishes made while one is on its way are dropped, all but the newest", () => {
  for (const seq of [1, 2, 3, 4]) wire.wish(seq, { turn: seq });
  assert.deepEqual(socket.sent, [{ seq: 1, settings: { turn: 1 } }]);
  socket.answer(1);
  assert.deepEqual(socket.sent.at(-1), { seq: 4, settings: { turn: 4 } });
  assert.equal(socket.sent.length, 2);
});

test("an answer older than one that was shown is not shown", () => {
  wire.limit = 3;
  for (const seq of [1, 2]) wire.wish(seq, {});
  assert.equal(socket.sent.length, 2);
  socket.answer(2);
  socket.answer(1);
  assert.deepEqual(answered, [2]);
});

test("a wish that the server calls outdated makes way for the next, and nothing is shown", () => {
  wire.limit = 1;
  wire.wish(1, {});
  wire.wish(2, {});
  socket.answer(1, { outdated: true });
  assert.deepEqual(answered, []);
  assert.deepEqual(failed, []);
  assert.deepEqual(socket.sent.at(-1), { seq: 2, settings: {} });
});

test("nothing is sent before the socket is open; the newest wish goes then", () => {
  socket.readyState = 0;
  wire.wish(1, {});
  wire.wish(2, {});
  assert.deepEqual(socket.sent, []);
  socket.readyState = Socket.OPEN;
  socket.onopen();
  assert.deepEqual(socket.sent, [{ seq: 2, settings: {} }]);
});

test("a fault is told, and the next wish still goes", () => {
  wire.wish(1, {});
  wire.wish(2, {});
  socket.answer(1, { fault: "no room" });
  assert.deepEqual(failed, ["no room"]);
  assert.equal(socket.sent.at(-1).seq, 2);
});

test("a server that went is told; a wire that was closed says nothing", () => {
  socket.close();
  assert.equal(failed.length, 1);
  failed.length = 0;
  const other = new Wire("/moving", { answered() {}, failed: (text) => failed.push(text), gone: () => failed.push("gone") });
  other.close();
  assert.deepEqual(failed, []);
});
