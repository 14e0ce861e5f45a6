// What the pages do beyond plain forms: fill in the time zone, keep the focus on the marked line, say when nothing
// was saved. Without this file everything works by forms and links.
"use strict";

const OFFLINE = "Not saved: there is no connection. Nothing is lost; tap again when it is back.";
const LATE = "No answer came in time, so it is not known whether this was saved. Open the page again to see.";

function fillInZone() {
  const select = document.querySelector("select[data-zone]");
  if (!select || select.value) return;
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if ([...select.options].some((option) => option.value === zone)) select.value = zone;
}

function sayTrouble(text) {
  const place = document.getElementById("trouble");
  if (!place) return;
  const words = document.createElement("p");
  words.textContent = text;
  place.replaceChildren(words);
  document.getElementById("said")?.replaceChildren();
}

// The line, or the head of a part of the day, whose form was sent; after the swap it takes the focus.
let sent = null;

document.addEventListener("submit", (event) => {
  sent = event.target.closest(".line, .together")?.id ?? null;
});

document.addEventListener("htmx:error", (event) => {
  // htmx gives up after its defaultTimeout, which is longer than the service takes to refuse.
  sayTrouble(event.detail.error === "timeout" ? LATE : OFFLINE);
});

document.addEventListener("htmx:after:swap", (event) => {
  const status = event.detail.ctx?.response?.status ?? 0;
  if (status >= 400) return;
  document.getElementById("trouble")?.replaceChildren();
  if (sent) document.getElementById(sent)?.focus({ preventScroll: true });
});

fillInZone();
