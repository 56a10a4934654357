// Of several things asked for, one after the other, only the last counts: an earlier answer that comes later is dropped.
export class Latest {
  #asked = 0;

  // Begin one; what is returned tells whether it is still the last.
  begin() {
    this.#asked += 1;
    const mine = this.#asked;
    return () => mine === this.#asked;
  }
}
