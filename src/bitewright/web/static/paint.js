// Pixels onto a canvas: a table says which grey each level becomes.
const images = new WeakMap();

// The table of `count` levels; `grey` makes 0 to 255 of a level. One given is filled anew.
export function greys(count, grey, table = new Uint32Array(count)) {
  for (let level = 0; level < count; level += 1) {
    const value = grey(level);
    table[level] = 0xff000000 | (value << 16) | (value << 8) | value;
  }
  return table;
}

export const BYTES = greys(256, (level) => level);

export function paint(canvas, pixels, columns, rows, table) {
  if (canvas.width !== columns || canvas.height !== rows) Object.assign(canvas, { width: columns, height: rows });
  let image = images.get(canvas);
  if (image?.width !== columns || image.height !== rows) images.set(canvas, (image = new ImageData(columns, rows)));
  const out = new Uint32Array(image.data.buffer);
  for (let i = 0; i < pixels.length; i += 1) out[i] = table[pixels[i]];
  canvas.getContext("2d").putImageData(image, 0, 0);
}
