// Marks on their way to the server: for each film one save at a time, always its newest marks, whichever film lies on
// the light box meanwhile. While the server is away they wait, and are sent again by themselves.
const MOST_SENT = 20; // kept of them in a draft
const REST_MS = [1000, 2000, 4000, 8000];

// The server did not take them, and may the next time: it is away, in trouble, or lets this browser in no longer.
export const isAway = (error) => error.status === undefined || error.status === 403 || error.status === 429 || error.status >= 500;

export class MarkSaves {
  #waiting = new Map();
  #running = new Map();
  #delayed = new Map(); // why, by film
  #wake = new Set();
  #sent = new Map(); // marks whose answer is not there, by film: the server may have taken them all the same

  // `send(id, version, marks)` answers with the film as kept; `saved(id, film)`, `refused(id, error, marks, unanswered)`
  // and `delayed(waiting)`, why by film, are told; `drafts` keeps what the server has not. Unanswered are the marks that
  // were sent while it was away, or by a page that was left before the answer: it may have taken them all the same.
  constructor({ send, saved, refused, delayed = () => {}, drafts = { put() {}, drop() {} }, rest_ms = REST_MS }) {
    Object.assign(this, { send, saved, refused, delayed, drafts, rest_ms });
  }

  // `sent`: what an earlier page had sent of it from that version.
  keep(id, version, marks, sent = []) {
    this.#waiting.set(id, { version, marks });
    if (sent.length) this.#sent.set(id, [...sent]);
    this.#draft(id, version, marks);
    if (!this.#running.has(id)) this.#running.set(id, this.#run(id, version));
  }

  has(id) {
    return this.#running.has(id);
  }

  // Newer marks than those on their way wait to be sent.
  isBehind(id) {
    return this.#waiting.has(id);
  }

  #draft(id, version, marks) {
    this.drafts.put(id, { version, marks, sent: (this.#sent.get(id) ?? []).slice(-MOST_SENT) });
  }

  // Until nothing of a film is on its way any more, or what is has to wait for the server.
  async settled(id) {
    while (this.#running.has(id) && !this.#delayed.has(id)) await Promise.race([this.#running.get(id), new Promise((done) => setTimeout(done, 50))]);
  }

  // Try at once what waits for the server.
  again() {
    for (const wake of this.#wake) wake();
  }

  // Each save is made from the version that the one before it gave.
  async #run(id, first) {
    let version = first, tries = 0;
    while (this.#waiting.has(id)) {
      const { marks } = this.#waiting.get(id);
      this.#waiting.delete(id);
      const unanswered = this.#sent.get(id) ?? [];
      this.#sent.set(id, [...unanswered.filter((each) => each !== marks), marks]);
      this.#draft(id, version, marks);
      try {
        const film = await this.send(id, version, marks);
        version = film.marks_version;
        tries = 0;
        this.#sent.delete(id);
        this.#told(id, null);
        if (this.#waiting.has(id)) this.#draft(id, version, this.#waiting.get(id).marks);
        else this.drafts.drop(id);
        this.saved(id, film);
      } catch (error) {
        if (isAway(error)) {
          if (!this.#waiting.has(id)) this.#waiting.set(id, { version, marks });
          this.#told(id, error);
          await this.#rest(tries);
          tries += 1;
          continue;
        }
        this.#told(id, null);
        this.#sent.delete(id);
        const newest = this.#waiting.get(id)?.marks ?? marks;
        if (error.status === 409) this.#waiting.delete(id);
        else if (!this.#waiting.has(id)) this.drafts.drop(id);
        this.refused(id, error, newest, unanswered);
      }
    }
    this.#running.delete(id);
  }

  #told(id, error) {
    if (error === null && !this.#delayed.delete(id)) return;
    if (error !== null) this.#delayed.set(id, error);
    this.delayed(this.#delayed);
  }

  #rest(tries) {
    return new Promise((done) => {
      const wake = () => {
        clearTimeout(timer);
        this.#wake.delete(wake);
        done();
      };
      const timer = setTimeout(wake, this.rest_ms[Math.min(tries, this.rest_ms.length - 1)]);
      this.#wake.add(wake);
    });
  }
}
