// Marks that were put on a crown's border: the server tells where it is, and whether that is sure.
import { json } from "../fetched.js";
import { here } from "./laid.js";

let onBorder = {};

export const isOnBorder = (name, mark) => onBorder[name] === `${mark.x_px},${mark.y_px}`;
export const borderAt = (name, { x_px, y_px }) => json(here(`/edge?${new URLSearchParams({ name, x_px, y_px })}`));

export function remember(name, found) {
  onBorder[name] = `${found.x_px},${found.y_px}`;
}

export function forget() {
  onBorder = {};
}
