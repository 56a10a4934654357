// Give the page only what has changed: all else a browser would lay out and draw anew at every step.
export function say(element, text) {
  const only = element.childNodes.length === 1 && element.firstChild.nodeType === Node.TEXT_NODE;
  if (!only) element.textContent = text;
  else if (element.firstChild.data !== text) element.firstChild.data = text;
}

export function hide(element, hidden) {
  if (element.hidden !== hidden) element.hidden = hidden;
}

export function set(element, name, value) {
  if (element.getAttribute(name) !== String(value)) element.setAttribute(name, value);
}
