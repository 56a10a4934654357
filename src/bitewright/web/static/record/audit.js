// A point of a chart leads to its films, as its row of the table does.
for (const chart of document.querySelectorAll(".chart")) {
  const rows = [...chart.querySelectorAll("tbody tr")];
  chart.querySelector("svg")?.addEventListener("click", (event) => {
    const point = event.target.closest("[data-row]");
    if (point) rows[Number(point.dataset.row)]?.querySelector("[data-point]").click();
  });
}
