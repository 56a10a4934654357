// An overlap in millimetres as the command line says it: a gap of at least half a hundredth is space.
export const overlapWords = (mm) => (mm < -0.005 ? `space ${(-mm).toFixed(2)}` : Math.max(mm, 0).toFixed(2));
