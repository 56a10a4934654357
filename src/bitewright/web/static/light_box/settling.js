// What a key moves step by step is told once it rests, each thing by itself; at once when something else begins.
export class Settling {
  #moving = new Map();

  constructor(rest_ms, rested) {
    this.rest_ms = rest_ms;
    this.rested = rested;
  }

  move(name, at) {
    clearTimeout(this.#moving.get(name)?.timer);
    const timer = setTimeout(() => this.#end(name), this.rest_ms);
    this.#moving.set(name, { at, timer });
  }

  forget(name) {
    clearTimeout(this.#moving.get(name)?.timer);
    this.#moving.delete(name);
  }

  endAll() {
    for (const name of [...this.#moving.keys()]) this.#end(name);
  }

  #end(name) {
    const { at } = this.#moving.get(name);
    this.forget(name);
    this.rested(name, at);
  }
}
