// What is measured at each site, drawn on a film: ring at the junction, bar at the crest, the way between, its name over its own tooth.
const SPACE = "http://www.w3.org/2000/svg";
const RING_PX = 4, BAR_PX = 7, LETTER_PX = 12, LINE_PX = 15, GAP_PX = 4;
const LINES_AWAY = [0, 1, -1, 2, -2, 3, -3];

const make = (name, attributes, parent) => {
  const element = document.createElementNS(SPACE, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  parent.append(element);
  return element;
};

// `sites`: each with its name, title, junction and crest [pixels of the film], and whether its tooth lies to the right; `rows` of the film.
export function drawSites(svg, sites, rows) {
  const groups = sites.map((site) => {
    const group = make("g", { class: "site", "data-site": site.name }, svg);
    const way = make("path", {}, group), ring = make("path", { class: "junction" }, group), bar = make("path", { class: "crest" }, group);
    const text = make("text", { "text-anchor": site.to_right ? "start" : "end" }, group);
    text.textContent = site.title;
    return { site, group, way, ring, bar, text };
  });

  // Everything keeps its size on the screen; a name that would touch another goes lines further from the crowns, or nearer.
  function size(scale) {
    const placed = [];
    for (const { site, way, ring, bar, text } of groups) {
      const [jx, jy] = site.junction, [x, y] = site.crest, r = RING_PX / scale, half = BAR_PX / scale;
      way.setAttribute("d", `M${jx} ${jy}L${x} ${y}`);
      ring.setAttribute("d", `M${jx - r} ${jy}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`);
      bar.setAttribute("d", `M${x - half} ${y}H${x + half}`);
      const isUpper = y < jy, wide = site.title.length * LETTER_PX * 0.6, side = site.to_right ? 1 : -1;
      const from = x * scale + side * (BAR_PX + GAP_PX), middle = from + (side * wide) / 2;
      const isFree = (line) => line > LETTER_PX && line < rows * scale && !placed.some((other) => Math.abs(other.middle - middle) < (wide + other.wide) / 2 + GAP_PX && Math.abs(other.at - line) < LINE_PX);
      const beside = y * scale + LETTER_PX / 3, away = isUpper ? -LINE_PX : LINE_PX;
      const at = LINES_AWAY.map((lines) => beside + lines * away).find(isFree) ?? beside;
      placed.push({ middle, at, wide });
      for (const [key, value] of Object.entries({ x: from / scale, y: at / scale, "font-size": LETTER_PX / scale, "stroke-width": 3 / scale })) text.setAttribute(key, value);
      text.style.strokeWidth = `${3 / scale}px`;
    }
  }

  const light = (name) => groups.forEach(({ site, group }) => group.classList.toggle("here", site.name === name));
  return { size, light };
}
