// Teeth, receptor and tube in space. Drawn only when something changed; the page works without it.
const details = document.getElementById("space");
const canvas = document.getElementById("space-canvas");
const say = document.getElementById("space-say");
const EVERY_MS = 70;
let three = null;
let scene = null;
let waiting = false;
let last = 0;
let latest = null;
let query = "";

const colour = (name) => new three.Color(getComputedStyle(canvas).getPropertyValue(name).trim() || "#999");

// Load and build when first opened; a browser without WebGL is told so and nothing else breaks.
async function open() {
  if (scene) return;
  try {
    three ??= await import("../vendor/three.js");
    build();
    await teeth();
    if (latest) place(latest);
    look("front");
  } catch (error) {
    scene = null;
    say.textContent = `This browser cannot draw in space (${error.message}); the other drawings show the same.`;
  }
}

function build() {
  const renderer = new three.WebGLRenderer({ canvas, antialias: true });
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
  scene = { renderer, world, camera, controls, upper, lower, moving };
}

async function teeth() {
  say.textContent = "Teeth are on their way.";
  const answer = await fetch(`/bench/solids?${query}`);
  if (!answer.ok) throw new Error((await answer.json()).error);
  const data = await answer.arrayBuffer();
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

function solid(corners, faces, material) {
  const shape = new three.BufferGeometry();
  shape.setAttribute("position", new three.BufferAttribute(new Float32Array(corners.flat()), 3));
  shape.setIndex(faces);
  shape.computeVertexNormals();
  return new three.Mesh(shape, material);
}

const BOX = [0, 2, 1, 0, 3, 2, 4, 5, 6, 4, 6, 7, 0, 1, 5, 0, 5, 4, 1, 2, 6, 1, 6, 5, 2, 3, 7, 2, 7, 6, 3, 0, 4, 3, 4, 7];

// Receptor, tube, beam and the opened jaw of one exposure.
function place(drawn) {
  const { moving, lower } = scene;
  for (const child of moving.children) child.geometry.dispose();
  moving.clear();
  const clear = (name, opacity) =>
    new three.MeshLambertMaterial({ color: colour(name), transparent: opacity < 1, opacity, side: three.DoubleSide, depthWrite: opacity === 1 });
  moving.add(solid(drawn.casing, BOX, clear("--receptor", 1)));
  moving.add(solid([...drawn.rim, ...drawn.tail], BOX, clear("--beam", 0.55)));
  moving.add(solid([...drawn.rim, ...drawn.field], BOX, clear("--beam", 0.12)));
  const [y, z] = drawn.hinge, turn = (drawn.opening_deg * Math.PI) / 180;
  const to = new three.Matrix4().makeTranslation(0, y, z);
  lower.matrixAutoUpdate = false;
  lower.matrix.copy(to).multiply(new three.Matrix4().makeRotationX(turn)).multiply(new three.Matrix4().makeTranslation(0, -y, -z));
  dirty();
}

export function show(drawn) {
  latest = drawn;
  if (scene && details.open) place(drawn);
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

function dirty() {
  if (waiting || !scene) return;
  waiting = true;
  const wait = Math.max(0, EVERY_MS - (performance.now() - last));
  setTimeout(() => requestAnimationFrame(draw), wait);
}

function draw() {
  waiting = false;
  last = performance.now();
  const { renderer, world, camera } = scene;
  const { clientWidth: width, clientHeight: height } = canvas;
  if (!width) return;
  renderer.setSize(width, height, false);
  camera.aspect = width / height;
  camera.updateProjectionMatrix();
  renderer.render(world, camera);
  canvas.dataset.drawn = "yes";
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
  if (details.open) open().then(() => latest && scene && place(latest));
});
for (const from of ["front", "tube", "above"]) document.getElementById(`space-${from}`).addEventListener("click", () => look(from));
addEventListener("dress", () => {
  if (!scene) return;
  scene.world.background = colour("--ground");
  if (latest) place(latest);
});
addEventListener("resize", dirty);
