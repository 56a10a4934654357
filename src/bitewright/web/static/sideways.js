// A table or figure wider than its place slides sideways; on a phone nothing shows that, so the page says it.
const looked = new ResizeObserver((entries) => {
  for (const { target } of entries) target.toggleAttribute("data-slides", target.scrollWidth > target.clientWidth + 1);
});

for (const region of document.querySelectorAll('[role="region"][tabindex="0"]')) looked.observe(region);
