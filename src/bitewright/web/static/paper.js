// What a printed page says of itself: when, and what films were rated for and by.
import { onRated } from "./rated.js";

function headPaper() {
  const now = new Date();
  const two = (n) => String(n).padStart(2, "0");
  document.getElementById("printed-on").textContent = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  for (const name of ["question", "scheme"]) {
    document.getElementById(`printed-${name}`).textContent = document.getElementById(name).selectedOptions[0].textContent;
  }
}

headPaper();
onRated(headPaper);
addEventListener("beforeprint", headPaper);
