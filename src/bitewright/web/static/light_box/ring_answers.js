// What was answered of rim and ring, which goes with a holder that has a ring alone.
const OF_A_RING = ["gap-along", "gap-above"];

export const hasRingAnswers = ({ rim_flush, answers = {} }) => rim_flush !== undefined || OF_A_RING.some((name) => name in answers);

// The same marks without them.
export function withoutRingAnswers({ rim_flush: _, answers = {}, ...marks }) {
  const others = Object.fromEntries(Object.entries(answers).filter(([name]) => !OF_A_RING.includes(name)));
  return Object.keys(others).length ? { ...marks, answers: others } : marks;
}
