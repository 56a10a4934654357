// The dress of the page: as the system prefers until one is chosen, which is kept for the next visit.
// Loaded before the page is drawn, so that nothing flashes.
(() => {
  const KEY = "bitewright.dress";
  const root = document.documentElement;
  const kept = () => { try { return localStorage.getItem(KEY); } catch { return null; } };
  const keep = (dress) => { try { localStorage.setItem(KEY, dress); } catch { /* only forgotten */ } };
  const system = matchMedia("(prefers-color-scheme: light)");
  const wear = () => {
    root.dataset.dress = kept() ?? (system.matches ? "light" : "dark");
    dispatchEvent(new CustomEvent("dress"));
  };
  wear();
  system.addEventListener("change", wear);
  addEventListener("DOMContentLoaded", () => {
    const button = document.getElementById("dress");
    if (!button) return;
    const show = () => button.setAttribute("aria-pressed", String(root.dataset.dress === "light"));
    button.addEventListener("click", () => {
      root.dataset.dress = root.dataset.dress === "light" ? "dark" : "light";
      keep(root.dataset.dress);
      dispatchEvent(new CustomEvent("dress"));
    });
    addEventListener("dress", show);
    show();
  });
})();
