// What a job's page does beyond plain forms: the timer's minutes go on by themselves, and the focus stays where the work
// is. Without this file everything works by forms and links.
"use strict";

const MINUTE = 60;
const NEARLY_OVER = 5 * MINUTE;
const LOOK_EVERY = 5000;

// The timer. The server says how many seconds are left; the page only counts on from there, by the clock, so that
// a page that slept is right when it wakes.

function inWords(minutes) {
  return minutes === 1 ? "1 minute" : `${minutes} minutes`;
}

// Said politely, and only at the start, when five minutes are left, and at the end: it stands in the region for
// everything the page says.
function say(text) {
  const place = document.getElementById("said");
  if (place) place.textContent = text;
}

function follow(timer) {
  const whole = Number(timer.dataset.whole);
  const ends = Date.now() + Number(timer.dataset.seconds) * 1000;
  let told = Number(timer.dataset.seconds) <= NEARLY_OVER;
  const look = () => {
    if (!timer.isConnected) return window.clearInterval(looking);
    const left = Math.max(0, Math.ceil((ends - Date.now()) / 1000));
    timer.querySelector(".left").textContent = left ? `${inWords(Math.ceil(left / MINUTE))} left` : "Time is up";
    timer.querySelector("progress").value = whole - left;
    if (left <= NEARLY_OVER && left && !told) {
      told = true;
      say(`${inWords(Math.ceil(left / MINUTE))} left.`);
    }
    if (!left) {
      window.clearInterval(looking);
      timer.querySelector(".until").textContent = "The job ends here, finished or not. What is left can wait.";
      say("Time is up. The job ends here, finished or not.");
    }
  };
  const looking = window.setInterval(look, LOOK_EVERY);
  timer.dataset.followed = "yes";
}

function followTimers() {
  document.querySelectorAll(".timer[data-seconds]:not([data-followed])").forEach(follow);
}

// After a line was ticked the next one takes the focus, or the job's mark if it was the last.

let following = null;

document.addEventListener("submit", (event) => {
  const line = event.target.closest("#job .line");
  following = line ? (line.nextElementSibling ?? line.previousElementSibling)?.id ?? "mark-title" : null;
});

document.addEventListener("htmx:after:swap", () => {
  followTimers();
  if (following === null) return;
  const next = document.getElementById(following);
  if (!next) return;
  if (!next.hasAttribute("tabindex")) next.tabIndex = -1;
  next.focus({ preventScroll: true });
});

followTimers();
