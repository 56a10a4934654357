// The list of keys: opened by its button or by a question mark, on every page.
const dialog = document.getElementById("help");
document.getElementById("help-open").addEventListener("click", () => dialog.showModal());
addEventListener("keydown", (event) => {
  const typing = event.target.closest("input:not([type=range], [type=checkbox], [type=radio]), select, textarea, dialog");
  if (event.key !== "?" || typing || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  dialog.showModal();
});
