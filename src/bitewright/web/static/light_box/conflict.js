// Another page changed the same film: both versions are shown, and the person chooses.
import * as marks from "./marks.js";
import { differences } from "./versions.js";

const box = document.getElementById("conflict");
const rows = box.querySelector("tbody");
let choose = () => {};

for (const button of box.querySelectorAll("button")) button.addEventListener("click", () => choose(button.value));

const place = (value) => {
  if (value === undefined || value === "") return "none";
  if (typeof value !== "object") return String(value).replaceAll("-", " ");
  const at = value.x_px === undefined ? value.status : `${value.x_px.toFixed(0)}, ${value.y_px.toFixed(0)}`;
  return value.state ? `${at} (${value.state})` : at;
};

// `chosen` is told "here", "there" or "both".
export function show(here, there, titleOf, chosen) {
  choose = chosen;
  const differing = differences(here, there);
  rows.replaceChildren(
    ...differing.map((each) => {
      const row = document.createElement("tr");
      const name = document.createElement("th");
      name.scope = "row";
      name.textContent = titleOf(each.name);
      row.append(name);
      for (const value of [each.here, each.there]) row.append(Object.assign(document.createElement("td"), { textContent: place(value) }));
      return row;
    }),
  );
  marks.ghosts(differing.filter((each) => each.there?.x_px !== undefined).map((each) => [each.there.x_px, each.there.y_px]));
  box.hidden = false;
}

export function hide() {
  box.hidden = true;
  marks.ghosts([]);
}
