// Faults typed by two letters each: what they choose, and what becomes of letters that choose nothing.
export class FaultLetters {
  // `known`: by letters, the name of a fault.
  constructor(known) {
    this.known = known;
  }

  // What is typed so far: nothing to do yet, a fault, or letters that no fault has.
  take(text) {
    const letters = text.replace(/[^a-z]/gi, "").toLowerCase();
    if (letters.length < 2) return { fault: null, unknown: "" };
    const fault = this.known.get(letters.slice(0, 2)) ?? null;
    return { fault, unknown: fault === null ? letters.slice(0, 2) : "" };
  }
}
