// A show of hands: beside each choice a count that a teacher types up or down; kept nowhere.
export function hands(choices, on) {
  for (const row of choices.children) {
    row.querySelector(".hands")?.remove();
    if (!on) continue;
    const held = document.createElement("span"), told = document.createElement("output");
    held.className = "hands";
    told.textContent = "0";
    const what = row.querySelector("button span").textContent;
    for (const [sign, step] of [["−", -1], ["+", 1]]) {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "raise";
      button.textContent = sign;
      button.setAttribute("aria-label", `${step > 0 ? "one hand more" : "one hand fewer"}: ${what}`);
      button.addEventListener("click", () => { told.textContent = Math.max(Number(told.textContent) + step, 0); });
      held.append(button);
    }
    held.append(told);
    row.append(held);
  }
}
