// Small words for the page: its elements, its line of talk, what is sent.
const say = document.getElementById("say");

export const by = (id) => document.getElementById(id);

export function tell(text, fault = false) {
  say.textContent = text;
  say.classList.toggle("fault", fault);
}

export const sent = (method, body) => ({ method, body: JSON.stringify(body), headers: { "content-type": "application/json" } });

export function toggle(button) {
  const pressed = button.getAttribute("aria-pressed") !== "true";
  button.setAttribute("aria-pressed", String(pressed));
  return pressed;
}

// The server refuses a class whatever its page would write.
export const mayWrite = !document.documentElement.dataset.user?.startsWith("class");
