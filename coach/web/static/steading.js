// What the pages do beyond plain forms: fill in the time zone, keep the focus on the marked line, say when nothing
// was saved, unfold what is printed; unsent.js keeps marks that were not sent. Without these files everything works by
// forms and links.
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
  const place = document.getElementById("trouble") ?? troublePlace();
  const words = document.createElement("p");
  words.textContent = text;
  place.replaceChildren(words);
  document.getElementById("said")?.replaceChildren();
}

function troublePlace() {
  const place = document.createElement("div");
  Object.assign(place, { id: "trouble", className: "trouble", role: "alert" });
  document.getElementById("main").prepend(place);
  return place;
}

// The line, or the head of a part of the day, whose form was sent; after the swap it takes the focus.
let sent = null;

document.addEventListener("submit", (event) => {
  sent = event.target.closest(".line, .together")?.id ?? null;
  event.target.dataset.tapped = new Date().toISOString();
});

document.addEventListener("htmx:error", async (event) => {
  const { form, submitter, method } = event.detail.ctx?.request ?? {};
  if (isOfMarks(form) && (await keepUnsent(marksOf(form, submitter), form.dataset.tapped))) return;
  // htmx gives up after its defaultTimeout, which is longer than the service takes to refuse.
  if (method !== "GET") sayTrouble(event.detail.error === "timeout" ? LATE : OFFLINE);
});

// A form that is sent after all once it is known that it can be.
let sure = false;

function submitSurely(form, submitter) {
  sure = true;
  form.requestSubmit(submitter);
  sure = false;
}

// A plain form would leave the page for an error of the browser, and what was typed with it.
document.addEventListener("submit", async (event) => {
  const { target: form, submitter } = event;
  if (navigator.onLine || sure || form.matches("[data-htmx-powered], [action='/sign-out']")) return;
  event.preventDefault();
  try {
    // Without network a browser still reaches its own machine.
    await fetch("/sw.js", { method: "HEAD", cache: "no-store" });
  } catch {
    if (!isOfMarks(form) || !(await keepUnsent(marksOf(form, submitter)))) sayTrouble(OFFLINE);
    return;
  }
  submitSurely(form, submitter);
});

document.addEventListener("htmx:after:swap", (event) => {
  const status = event.detail.ctx?.response?.status ?? 0;
  if (status === 409 && sent) document.getElementById(sent)?.querySelector(".clash button")?.focus({ preventScroll: true });
  if (status >= 400) return;
  document.getElementById("trouble")?.replaceChildren();
  if (sent) document.getElementById(sent)?.focus({ preventScroll: true });
});

fillInZone();

// What is folded is open while a page is printed, for browsers whose styles cannot; print.css says the rest.
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
