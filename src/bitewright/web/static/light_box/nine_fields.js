// Nine fields about a place, as on a number pad: a digit takes one of them, which is then divided in nine itself.
export class NineFields {
  // `half`: half the side of all nine; it is never made less than `least`.
  constructor(at, half, least) {
    this.at = [...at];
    this.half = half;
    this.least = least;
  }

  take(digit) {
    const across = ((digit - 1) % 3) - 1, down = 1 - Math.floor((digit - 1) / 3);
    const third = (2 * this.half) / 3;
    this.at = [this.at[0] + across * third, this.at[1] + down * third];
    this.half = Math.max(this.least, this.half / 3);
    return this.at;
  }
}
