// Copying a text, such as the shopping list. Without this file it is there to be marked and copied by hand.
"use strict";

function showCopying() {
  for (const button of document.querySelectorAll("button[data-copy]")) button.hidden = false;
}

async function copy(button) {
  const text = document.getElementById(button.dataset.copy);
  const said = document.getElementById("copied");
  try {
    await navigator.clipboard.writeText(text.value);
    said.textContent = "Copied.";
  } catch {
    // Some browsers copy only on encrypted pages; then the text is marked, ready to be copied by hand.
    text.select();
    said.textContent = "The text is marked. Copy it from there.";
  }
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("button[data-copy]");
  if (button) copy(button);
});
document.addEventListener("htmx:after:swap", showCopying);
showCopying();
