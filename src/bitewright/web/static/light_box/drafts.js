// Marks that the server does not have yet, by film: over a reload of this page, for one person, until the session ends.
const USER = document.documentElement.dataset.user ?? "own";
const KEY = `bitewright.drafts.${USER}`;

function read() {
  try {
    return JSON.parse(sessionStorage.getItem(KEY)) ?? {};
  } catch {
    return {};
  }
}

function change(act) {
  const all = read();
  act(all);
  try {
    if (Object.keys(all).length) sessionStorage.setItem(KEY, JSON.stringify(all));
    else sessionStorage.removeItem(KEY);
  } catch {
    // Without storage they live in the page alone.
  }
}

export const put = (id, draft) => change((all) => (all[id] = draft));
export const drop = (id) => change((all) => delete all[id]);
export const all = () => Object.entries(read()).map(([id, draft]) => [Number(id), draft]);

// A word that this page remembers over a reload.
export function remember(name, value) {
  try {
    sessionStorage.setItem(`bitewright.${name}.${USER}`, value);
  } catch {
    // only forgotten
  }
}

export function remembered(name) {
  try {
    return sessionStorage.getItem(`bitewright.${name}.${USER}`);
  } catch {
    return null;
  }
}
