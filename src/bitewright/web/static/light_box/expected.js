// Where a mark should lie, told by the marks that lie there already and by where such marks lie on a film taken as
// planned in the mean mouth. A guess for the eye: it lights a place and enters no result.
//
// Each mark's offset from its usual place is a sum of independent normal parts; given the offsets that were marked,
// the wanted one has a mean and a standard deviation (kriging). All standard deviations, in millimetres, are our choice.
const FILM = 4; // the whole film, up or down, to and fro
const LEAN = 0.12; // turned, stretched: for each millimetre from its middle
const ARCH = 2; // one arch against the other, for the mouth stands open
const ARCH_LEAN = 0.08;
const TOOTH = 0.7;
const SITE = 1; // what two sides of one contact share
const KIND = 0.5; // all crests, or all cusps, of an arch
const OWN = 0.35;

const parts = (name) => name.split(".");
const tooth = (name) => Number(parts(name)[0]);
const isUpper = (name) => tooth(name) < 30;
const kind = (name) => (parts(name).length === 2 ? "contact" : parts(name).at(-1));
const same = (is, sd) => (is ? sd * sd : 0);

// Two sides of one contact have one site.
function site(name) {
  const [code, side] = parts(name);
  if (kind(name) !== "contact") return name;
  const front = side === "distal" ? Number(code) : Number(code) - 1;
  return String(front);
}

function shared(a, b, at) {
  const lever = at[a][0] * at[b][0] + at[a][1] * at[b][1];
  const arch = isUpper(a) === isUpper(b);
  return (
    FILM * FILM +
    LEAN * LEAN * lever +
    same(arch, ARCH) +
    (arch ? ARCH_LEAN * ARCH_LEAN * lever : 0) +
    same(tooth(a) === tooth(b), TOOTH) +
    same(site(a) === site(b), SITE) +
    same(arch && kind(a) === kind(b), KIND) +
    same(a === b, OWN)
  );
}

// Lower triangle of the Cholesky root, in place.
function root(matrix) {
  for (let i = 0; i < matrix.length; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      let left = matrix[i][j];
      for (let k = 0; k < j; k += 1) left -= matrix[i][k] * matrix[j][k];
      matrix[i][j] = i === j ? Math.sqrt(left) : left / matrix[j][j];
    }
  }
  return matrix;
}

function solved(lower, right) {
  const out = [...right];
  for (let i = 0; i < out.length; i += 1) {
    for (let k = 0; k < i; k += 1) out[i] -= lower[i][k] * out[k];
    out[i] /= lower[i][i];
  }
  return out;
}

// `usual` and `seen`: places by name, [x, y] in millimetres from the film's middle. Gives { at, sd } in the same.
export function expected(name, usual, seen) {
  const given = Object.keys(seen).filter((each) => usual[each] && each !== name);
  const lower = root(given.map((a) => given.map((b) => shared(a, b, usual))));
  const weights = solved(lower, given.map((a) => shared(a, name, usual)));
  const spread = shared(name, name, usual) - weights.reduce((sum, w) => sum + w * w, 0);
  const at = [0, 1].map((axis) => {
    const offsets = solved(lower, given.map((each) => seen[each][axis] - usual[each][axis]));
    return usual[name][axis] + weights.reduce((sum, w, i) => sum + w * offsets[i], 0);
  });
  return { at, sd: Math.sqrt(Math.max(spread, OWN * OWN)) };
}
