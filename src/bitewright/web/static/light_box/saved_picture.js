// The film as it is seen, whole, as a picture to keep; with marks and what is laid over it where that is asked for.
const picture = document.getElementById("picture");
const overlay = document.getElementById("overlay");
const COLOURS = { crest: "#8fd0ff", cusp: "#c9f0a8", cej: "#f3b0e0" };
const STAMP = "SIMULATED film laid over";

export async function save(name, marks, { withMarks }) {
  const canvas = document.createElement("canvas");
  Object.assign(canvas, { width: picture.width, height: picture.height });
  const pen = canvas.getContext("2d");
  pen.drawImage(picture, 0, 0);
  const size = Math.max(10, Math.round(picture.width / 70));
  if (withMarks) {
    if (!overlay.hidden) layOver(pen, size);
    for (const [each, mark] of Object.entries(marks)) if (mark.x_px !== undefined) ring(pen, each, mark, size);
  }
  const blob = await new Promise((done) => canvas.toBlob(done, "image/png"));
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = `${name.replace(/[^\p{L}\p{N} _-]/gu, "-") || "film"}${withMarks ? " with marks" : ""}.png`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

function layOver(pen, size) {
  const isDifference = overlay.classList.contains("difference");
  pen.globalCompositeOperation = isDifference ? "difference" : "source-over";
  pen.globalAlpha = isDifference ? 1 : Number(overlay.style.opacity);
  pen.drawImage(overlay, 0, 0);
  pen.globalCompositeOperation = "source-over";
  pen.globalAlpha = 1;
  write(pen, STAMP, size, 2 * size, "#fff", size);
}

function ring(pen, name, mark, size) {
  const colour = COLOURS[name.split(".").at(-1)] ?? "#ffd479";
  pen.strokeStyle = colour;
  pen.lineWidth = size / 8;
  pen.setLineDash(mark.state === "proposed" ? [size / 4, size / 5] : []);
  pen.beginPath();
  pen.arc(mark.x_px, mark.y_px, size / 2, 0, 7);
  pen.moveTo(mark.x_px - size / 5, mark.y_px);
  pen.lineTo(mark.x_px + size / 5, mark.y_px);
  pen.moveTo(mark.x_px, mark.y_px - size / 5);
  pen.lineTo(mark.x_px, mark.y_px + size / 5);
  pen.stroke();
}

function write(pen, text, x, y, colour, size) {
  pen.font = `600 ${size}px sans-serif`;
  pen.lineWidth = size / 5;
  pen.strokeStyle = "#000";
  pen.strokeText(text, x, y);
  pen.fillStyle = colour;
  pen.fillText(text, x, y);
}
