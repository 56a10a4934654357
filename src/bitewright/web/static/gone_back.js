// A page that is gone back to is shown as it was left: what it tells of films and log may have changed since.
export function onGoneBack(act) {
  addEventListener("pageshow", (event) => event.persisted && act());
}
