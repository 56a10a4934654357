// Marks on their way to the server: for each film one save at a time, always its newest marks,
// whichever film lies on the light box meanwhile.
export class MarkSaves {
  #waiting = new Map();
  #running = new Map();

  // `send(id, version, marks)` answers with the film as kept; `saved(id, film)` and `refused(id, error)` are told.
  constructor({ send, saved, refused }) {
    this.send = send;
    this.saved = saved;
    this.refused = refused;
  }

  keep(id, version, marks) {
    this.#waiting.set(id, { version, marks });
    if (!this.#running.has(id)) this.#running.set(id, this.#run(id, version));
  }

  // Until nothing of a film is on its way any more.
  async settled(id) {
    await this.#running.get(id);
  }

  // Each save is made from the version that the one before it gave.
  async #run(id, first) {
    let version = first;
    while (this.#waiting.has(id)) {
      const { marks } = this.#waiting.get(id);
      this.#waiting.delete(id);
      try {
        const film = await this.send(id, version, marks);
        version = film.marks_version;
        this.saved(id, film);
      } catch (error) {
        if (error.status === 409) this.#waiting.delete(id);
        this.refused(id, error);
      }
    }
    this.#running.delete(id);
  }
}
