// Teeth, receptor and tube in space. Drawn only when something changed; the page works without it.
import { fetched } from "../fetched.js";

const details = document.getElementById("space");
const canvas = document.getElementById("space-canvas");
const say = document.getElementById("space-say");
const SHARE = 0.5;
const QUICK_MS = 16;
const COARSE = 0.5;
const REST_MS = 200;
let three = null;
let scene = null;
let waiting = false;
let last = 0;
let resting = 0;
let cost_ms = 0;
let whileMoving = 1;
let atRest = 1;
let latest = null;
let placed = null;
let query = "";

const colour = (name) => new three.Color(getComputedStyle(canvas).getPropertyValue(name).trim() || "#999");

// Load and build when first opened; a browser without WebGL is told so and nothing else breaks.
async function open() {
  if (scene) return;
  try {
    three ??= await import("../vendor/three.js");
    build();
    await teeth();
    placed = null;
    look("front");
    findPace();
  } catch (error) {
    scene = null;
    say.textContent = `This browser cannot draw in space (${error.message}); the other drawings show the same.`;
  }
}

function build() {
  const renderer = new three.WebGLRenderer({ canvas, antialias: hasGraphicsCard() });
  const world = new three.Scene();
  world.background = colour("--ground");
  world.add(new three.AmbientLight(0xffffff, 1.2));
  const lamp = new three.DirectionalLight(0xffffff, 2.2);
  lamp.position.set(-60, -120, 90);
  world.add(lamp);
  const camera = new three.PerspectiveCamera(35, 2, 1, 2000);
  camera.up.set(0, 0, 1);
  const controls = new three.OrbitControls(camera, canvas);
  controls.enableDamping = false;
  controls.addEventListener("change", dirty);
  canvas.addEventListener("webglcontextrestored", dirty);
  const upper = new three.Group(), lower = new three.Group(), moving = new three.Group();
  world.add(upper, lower, moving);
  lower.matrixAutoUpdate = false;
  const solids = { casing: clear(1), tube: clear(0.55), field: clear(0.12) };
  moving.add(...Object.values(solids));
  scene = { renderer, world, camera, controls, upper, lower, solids };
  dress();
}

// Smooth edges cost the processor most of its time where it draws alone: there more places are drawn at rest.
function hasGraphicsCard() {
  const gl = document.createElement("canvas").getContext("webgl2", { failIfMajorPerformanceCaveat: true });
  atRest = gl ? 1 : 2;
  gl?.getExtension("WEBGL_lose_context")?.loseContext();
  return Boolean(gl);
}

function clear(opacity) {
  const material = new three.MeshLambertMaterial({ transparent: opacity < 1, opacity, side: three.DoubleSide, depthWrite: opacity === 1, flatShading: true });
  const shape = new three.BufferGeometry();
  shape.setAttribute("position", new three.BufferAttribute(new Float32Array(24), 3));
  shape.setIndex(BOX);
  const solid = new three.Mesh(shape, material);
  solid.frustumCulled = false;
  return solid;
}

function dress() {
  const { solids, world } = scene;
  world.background = colour("--ground");
  solids.casing.material.color = colour("--receptor");
  solids.tube.material.color = solids.field.material.color = colour("--beam");
  dirty();
}

async function teeth() {
  say.textContent = "Teeth are on their way.";
  const asked = query;
  const data = await (await fetched(`/bench/solids?${asked}`)).arrayBuffer();
  if (asked !== query) return;
  const counts = new Uint32Array(data, 0, 4);
  let at = 16;
  for (const [k, group] of [scene.upper, scene.lower].entries()) {
    group.clear();
    const vertices = new Float32Array(data, at, 3 * counts[2 * k]);
    at += vertices.byteLength;
    const triangles = new Uint32Array(data, at, 3 * counts[2 * k + 1]);
    at += triangles.byteLength;
    const shape = new three.BufferGeometry();
    shape.setAttribute("position", new three.BufferAttribute(vertices, 3));
    shape.setIndex(new three.BufferAttribute(triangles, 1));
    shape.computeVertexNormals();
    group.add(new three.Mesh(shape, new three.MeshLambertMaterial({ color: k ? 0xcbbf9d : 0xe6ddc4 })));
  }
  say.textContent = "";
  dirty();
}

const BOX = [0, 2, 1, 0, 3, 2, 4, 5, 6, 4, 6, 7, 0, 1, 5, 0, 5, 4, 1, 2, 6, 1, 6, 5, 2, 3, 7, 2, 7, 6, 3, 0, 4, 3, 4, 7];

// Receptor, tube, beam and the opened jaw of one exposure.
function place(drawn) {
  const { solids, lower } = scene;
  const corners = { casing: drawn.casing, tube: [...drawn.rim, ...drawn.tail], field: [...drawn.rim, ...drawn.field] };
  for (const [name, places] of Object.entries(corners)) {
    const position = solids[name].geometry.getAttribute("position");
    position.array.set(places.flat());
    position.needsUpdate = true;
    solids[name].visible = true;
  }
  const [y, z] = drawn.hinge, turn = (drawn.opening_deg * Math.PI) / 180;
  const to = new three.Matrix4().makeTranslation(0, y, z);
  lower.matrix.copy(to).multiply(new three.Matrix4().makeRotationX(turn)).multiply(new three.Matrix4().makeTranslation(0, -y, -z));
  placed = drawn;
}

export function show(drawn) {
  latest = drawn;
  if (scene && details.open) dirty();
}

// What was laid is gone; nothing of it stays in sight.
export function forget() {
  latest = placed = null;
  if (scene) {
    for (const group of [scene.upper, scene.lower]) group.clear();
    for (const solid of Object.values(scene.solids)) solid.visible = false;
  }
  dirty();
}

export async function lay(address) {
  query = address;
  if (scene && details.open) await teeth().catch((error) => (say.textContent = error.message));
  else scene = null;
}

function middle(corners) {
  const sum = corners.reduce((s, c) => s.add(new three.Vector3(...c)), new three.Vector3());
  return sum.multiplyScalar(1 / corners.length);
}

function look(from) {
  if (!scene || !latest) return;
  const aim = middle(latest.casing), tail = middle(latest.tail);
  const away = { front: new three.Vector3(0, -170, 40), above: new three.Vector3(0, -1, 190) }[from] ?? tail.sub(aim).multiplyScalar(2.1);
  scene.controls.target.copy(aim);
  scene.camera.position.copy(aim).add(away);
  scene.controls.update();
  dirty();
}

// Drawn soon, and whole again at rest. Where drawing is slow (without a graphics card) it is coarser while
// it moves and takes no more than its share of the time, so that the film still follows the hand.
function dirty() {
  if (!scene) return;
  clearTimeout(resting);
  if (whileMoving < atRest) resting = setTimeout(draw, REST_MS, atRest);
  if (waiting) return;
  waiting = true;
  const wait = Math.max(0, cost_ms / SHARE - (performance.now() - last));
  setTimeout(() => requestAnimationFrame(() => draw(whileMoving)), wait);
}

function draw(fineness) {
  waiting = false;
  last = performance.now();
  const { renderer, world, camera } = scene;
  const { clientWidth: width, clientHeight: height } = canvas;
  if (!width) return;
  if (latest && latest !== placed) place(latest);
  const size = [fineness * width, fineness * height].map(Math.round);
  if (canvas.width !== size[0] || canvas.height !== size[1]) renderer.setSize(...size, false);
  camera.aspect = width / height;
  camera.updateProjectionMatrix();
  renderer.render(world, camera);
  canvas.dataset.drawn = "yes";
}

// What a drawing costs here: to read one place back waits until it is done.
function cost(fineness) {
  const gl = scene.renderer.getContext(), place = new Uint8Array(4);
  const began = performance.now();
  draw(fineness);
  gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, place);
  return performance.now() - began;
}

function findPace() {
  cost(atRest);
  whileMoving = cost(atRest) > QUICK_MS ? COARSE : atRest;
  cost(whileMoving);
  cost_ms = cost(whileMoving);
  draw(atRest);
}

canvas.addEventListener("keydown", (event) => {
  if (!scene) return;
  const { camera, controls } = scene;
  const offset = camera.position.clone().sub(controls.target);
  const turns = { ArrowLeft: -0.1, ArrowRight: 0.1 };
  if (turns[event.key]) offset.applyAxisAngle(new three.Vector3(0, 0, 1), turns[event.key]);
  else if (event.key === "ArrowUp") offset.z += 12;
  else if (event.key === "ArrowDown") offset.z -= 12;
  else if (event.key === "+" || event.key === "=") offset.multiplyScalar(0.9);
  else if (event.key === "-") offset.multiplyScalar(1.1);
  else return;
  event.preventDefault();
  camera.position.copy(controls.target).add(offset);
  controls.update();
  dirty();
});
details.addEventListener("toggle", () => {
  if (details.open) open().then(dirty);
});
for (const from of ["front", "tube", "above"]) document.getElementById(`space-${from}`).addEventListener("click", () => look(from));
addEventListener("dress", () => scene && dress());
addEventListener("resize", dirty);
