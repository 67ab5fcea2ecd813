// Copy buttons, pages found while typing, sums that follow the figures. Every page works without
// this: buttons stay hidden until it runs, forms are sent as ever.
import { copied } from "./copy.js";

for (const button of document.querySelectorAll("[data-copy]")) button.hidden = false;

document.addEventListener("click", async (event) => {
  const button = event.target.closest?.("[data-copy]");
  if (!button) return;
  const words = button.textContent;
  const done = await copied(document.getElementById(button.dataset.copy));
  button.textContent = done ? "Copied" : "Select and copy by hand";
  setTimeout(() => { button.textContent = words; }, 2500);
});

const box = document.querySelector("[data-find]");
if (box) import("./find.js").then((found) => found.follow(box));

const form = document.querySelector("form[data-live]");
if (form) import("./live.js").then((live) => live.follow(form));
