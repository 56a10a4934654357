// The dress of the page: dark for the dark room, light by choice; kept for the next visit.
// Loaded before the page is drawn, so that nothing flashes.
(() => {
  const KEY = "bitewright.dress";
  const root = document.documentElement;
  const kept = () => { try { return localStorage.getItem(KEY); } catch { return null; } };
  const keep = (dress) => { try { localStorage.setItem(KEY, dress); } catch { /* only forgotten */ } };
  root.dataset.dress = kept() === "light" ? "light" : "dark";
  addEventListener("DOMContentLoaded", () => {
    const button = document.getElementById("dress");
    if (!button) return;
    const show = () => button.setAttribute("aria-pressed", String(root.dataset.dress === "light"));
    button.addEventListener("click", () => {
      root.dataset.dress = root.dataset.dress === "light" ? "dark" : "light";
      keep(root.dataset.dress);
      show();
      dispatchEvent(new CustomEvent("dress"));
    });
    show();
  });
})();
