// Whether what is on show still belongs to the setting that is wanted, or has grown too old to pass for it.
export const OLD_MS = 150;
export const CALM_MS = 400;
export const SETTLED_MS = 100;

// One thing on show. Wishes are counted upwards; times are in milliseconds.
export class Belonging {
  #wished = [];
  #shown = 0;
  #old = false;
  #oldAt = 0;
  #isThere = true;

  // Nothing is on show, so nothing is old, until something is shown again.
  gone() {
    this.#isThere = false;
  }

  wished(seq, now) {
    this.#wished.push([seq, now]);
  }

  shown(seq) {
    this.#isThere = true;
    this.#shown = Math.max(this.#shown, seq);
    while (this.#wished.length && this.#wished[0][0] <= this.#shown) this.#wished.shift();
  }

  get isCurrent() {
    return this.#wished.length === 0;
  }

  // Grey once, not in turns: in a drag it stays grey until it has kept up for a while, or the hand rests a moment.
  isOld(now) {
    const age = this.isCurrent ? 0 : now - this.#wished[0][1];
    if (age > OLD_MS) {
      this.#old = true;
      this.#oldAt = now;
    } else if (now - this.#oldAt > (this.isCurrent ? SETTLED_MS : CALM_MS)) this.#old = false;
    return this.#old && this.#isThere;
  }
}
