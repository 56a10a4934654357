// A button pressed before the page's scripts have arrived is pressed again once they have.
// Loaded before the page is drawn, so that no press comes before it.
(() => {
  let pressed = null;
  const keep = (event) => {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    pressed = button;
  };
  addEventListener("click", keep, true);
  addEventListener("DOMContentLoaded", () => {
    removeEventListener("click", keep, true);
    pressed?.click();
  });
})();
