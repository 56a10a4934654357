// What lies on the light box: every film, and the one on the stage.
export const laid = { films: [], film: null };

export const here = (rest = "") => `/light-box/films/${laid.film.id}${rest}`;
export const isOnStage = (id) => laid.film?.id === id;
export const marksOf = (film) => film.marks.marks ?? {};
export const mmOf = (film) => film.marks.pixel_mm ?? film.pixel_mm;
export const titleOf = (name) => laid.film.wanted.find((w) => w.name === name)?.title ?? name.replaceAll(".", " ");
export const words = () => Object.fromEntries(laid.film.wanted.map(({ name, words: said }) => [name, said]));
export const find = (id) => laid.films.find((film) => film.id === id);

// Something of one film is new, whether it is on the stage or not.
export function renew(id, changed) {
  laid.films = laid.films.map((film) => (film.id === id ? { ...film, ...changed } : film));
  if (isOnStage(id)) laid.film = { ...laid.film, ...changed };
}

export function toStage(film) {
  laid.film = film;
  laid.films = laid.films.map((each) => (each.id === film.id ? film : each));
}
