// While the page is seen, asks what others have marked, and puts only that in its place: never where the focus is, where
// something is open or on its way, or where a choice between two marks stands.
"use strict";

const EVERY = 10_000;
const LONGEST = 160_000;

const watched = document.querySelector("[data-changes]");
let seen = watched?.dataset.version;
let wait = EVERY;
let timer = null;
let isAsking = false;

const stateOf = (element) =>
  (element.matches("[data-state]") ? element : element.querySelector("[data-state]"))?.dataset.state;

// What was tapped may wait for its turn anywhere in the list, so while one is on its way nothing is put in its place.
function isBusy(there) {
  const isOpen = there.contains(document.activeElement) || there.querySelector(":popover-open") !== null;
  return isOpen || document.querySelector(".htmx-request") !== null;
}

// What this page alone has for the moment: a choice between two marks, the way back from one tap for all, and a mark
// that is not sent yet.
const isChoice = (there) => there.querySelector(".clash, [data-all], .unsent") !== null;

// Whether everything is as the service has it now; what could not be changed yet is asked for again.
function take(text) {
  const came = new DOMParser().parseFromString(text, "text/html");
  const said = [];
  let isWhole = true;
  const place = (piece, there, put) => {
    if (!there || isChoice(there) || stateOf(piece) === stateOf(there)) return;
    if (isBusy(there)) {
      isWhole = false;
      return;
    }
    put();
    if (piece.dataset.said) said.push(piece.dataset.said);
  };
  for (const piece of came.querySelectorAll("[data-piece]")) {
    const there = document.getElementById(piece.dataset.piece);
    place(piece, there, () => {
      there.replaceChildren(...document.adoptNode(piece).childNodes);
      htmx.process(there);
    });
  }
  for (const piece of came.querySelectorAll("[data-line]")) {
    const there = document.getElementById(piece.dataset.line);
    place(piece, there, () => {
      const line = document.adoptNode(piece).firstElementChild;
      there.replaceWith(line);
      htmx.process(line);
    });
  }
  for (const piece of came.querySelectorAll("[data-words]")) {
    const there = document.getElementById(piece.dataset.words);
    if (there && there.textContent.trim() !== piece.textContent.trim())
      there.replaceChildren(...document.adoptNode(piece).childNodes);
  }
  if (said.length) document.getElementById("said")?.replaceChildren(said.join(" "));
  return isWhole;
}

async function ask() {
  timer = null;
  if (isAsking || document.hidden) return;
  isAsking = true;
  const began = Date.now();
  try {
    const answer = await fetch(`${watched.dataset.changes}${seen}`, { signal: AbortSignal.timeout(3 * EVERY) });
    if (!answer.ok) throw new Error(answer.statusText);
    if (answer.status === 204 || take(await answer.text())) seen = answer.headers.get("Steading-Version") ?? seen;
    wait = EVERY;
  } catch {
    wait = Math.min(2 * wait, LONGEST);
  }
  isAsking = false;
  later(began + wait - Date.now());
}

function later(milliseconds) {
  if (timer === null && !document.hidden) timer = setTimeout(ask, Math.max(0, milliseconds));
}

if (watched) {
  let left = 0;
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) {
      left = Date.now();
      clearTimeout(timer);
      timer = null;
    } else if (!isAsking) later(left + EVERY - Date.now());
  });
  later(0);
}
