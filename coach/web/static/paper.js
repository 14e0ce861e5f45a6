// Printing by a button. Without this file the page says how its browser prints it.
"use strict";

for (const button of document.querySelectorAll("button[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
for (const hint of document.querySelectorAll("[data-print-hint]")) hint.hidden = true;
