// Opens what is folded while a page is printed, for browsers whose styles cannot; print.css says the rest.
"use strict";

const opened = [];

addEventListener("beforeprint", () => {
  for (const folded of document.querySelectorAll("details:not([open])")) {
    folded.open = true;
    opened.push(folded);
  }
});

addEventListener("afterprint", () => {
  for (const unfolded of opened.splice(0)) unfolded.open = false;
});
