// A socket that always answers the newest wish: older ones that were not sent yet are dropped.
export class Wire {
  constructor(address, { answered, failed, gone }) {
    this.want = null;
    this.inFlight = 0;
    this.limit = 1;
    this.roundTrip = 20;
    this.sent = new Map();
    this.last = 0;
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    this.socket = new WebSocket(`${scheme}://${location.host}${address}`);
    this.socket.binaryType = "arraybuffer";
    this.socket.onopen = () => this.pump();
    this.socket.onmessage = (event) => {
      if (this.closed) return;
      this.inFlight -= 1;
      const answer = this.read(event.data);
      this.time(answer);
      if (answer.outdated) return this.pump();
      if (answer.fault) failed(answer.fault, answer);
      else if (answer.seq > this.last) {
        this.last = answer.seq;
        answered(answer);
      }
      this.pump();
    };
    this.socket.onclose = () => this.closed || gone();
  }

  read(data) {
    if (typeof data === "string") return JSON.parse(data);
    const [seq, rows, columns, took] = new Uint32Array(data, 0, 4);
    return { seq, rows, columns, took_ms: took, pixels: new Uint8Array(data, 16) };
  }

  // Up to three wishes on the way where the way is long; one on this computer, however long the
  // answer takes to make or waits for its turn: more would only wait in line. The way is told by the
  // quickest answers of late, since a busy computer makes all others late.
  time({ seq, took_ms: took = 0 }) {
    const since = this.sent.get(seq);
    this.sent.delete(seq);
    if (since === undefined) return;
    this.roundTrip = Math.min(performance.now() - since - took, 1.1 * this.roundTrip + 0.5);
    this.limit = Math.min(3, Math.max(1, Math.ceil(this.roundTrip / 33)));
  }

  wish(seq, settings, more = {}) {
    this.want = { seq, settings, ...more };
    this.pump();
  }

  pump() {
    if (this.want === null || this.inFlight >= this.limit || this.socket.readyState !== WebSocket.OPEN) return;
    this.sent.set(this.want.seq, performance.now());
    this.socket.send(JSON.stringify(this.want));
    this.want = null;
    this.inFlight += 1;
  }

  close() {
    this.closed = true;
    this.socket.close();
  }
}
