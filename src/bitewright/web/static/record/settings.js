// Settings of the record: what a form holds is sent as it stands; the server checks all of it.
import { fetched } from "../fetched.js";

const say = document.getElementById("say");

async function send(address, method, body) {
  try {
    await fetched(address, { method, body: body && JSON.stringify(body), headers: body ? { "content-type": "application/json" } : {} });
    location.reload();
  } catch (error) {
    say.textContent = error.message;
    say.scrollIntoView({ block: "center" });
  }
}

function itemOf(form) {
  const item = {};
  for (const input of form.querySelectorAll("input, select")) {
    if (input.value !== "") item[input.name] = input.type === "number" ? Number(input.value) : input.value;
  }
  if ("grade" in item) {
    item.shares = { [item.grade]: item.percent / 100 };
    delete item.grade;
    delete item.percent;
  }
  return item;
}

for (const form of document.querySelectorAll("[data-part]")) {
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    send(`/record/settings/${form.dataset.part}`, "POST", itemOf(form));
  });
}
document.querySelector("[data-every]")?.addEventListener("submit", (event) => {
  event.preventDefault();
  const { months } = event.target.elements;
  send("/record/settings/every-months", "PUT", { months: months.value === "" ? null : Number(months.value) });
});
for (const button of document.querySelectorAll("[data-remove]")) {
  button.addEventListener("click", () => {
    if (confirm("Remove this from the record's settings?")) send(`/record/settings/${button.dataset.remove}`, "DELETE");
  });
}
