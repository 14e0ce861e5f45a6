// Marks that could not be sent: kept, said to be unsent in their line and in one place, and sent when there is an answer.
"use strict";

const STAMPS = { kept: "Kept", small: "Small", excused: "Excused", missed: "Missed" };
const FIRST_PAUSE = 5_000;
const LONGEST_PAUSE = 300_000;
const FULL = `Not saved: ${MOST_MARKS} marks wait to be sent already, and this browser keeps no more.`;

let untilNext = FIRST_PAUSE;
let nextTry = 0;
let waiting = 0;

function element(tag, words, more = {}) {
  return Object.assign(document.createElement(tag), { textContent: words, ...more });
}

function button(words, work, look = "") {
  const made = element("button", words, { type: "button", className: look });
  made.addEventListener("click", work);
  return made;
}

const asText = (date, how) => new Date(date).toLocaleString("en-GB", how);
const timeOf = (at) => asText(at, { hour: "2-digit", minute: "2-digit" });

// A date, as in "Tuesday 24 November", without a zone that could move it.
function dayOf(date, zone = { timeZone: "UTC" }) {
  const of = (how) => asText(date, { ...zone, ...how });
  return `${of({ weekday: "long" })} ${of({ day: "numeric", month: "long" })}`;
}

function titleOf(step, form) {
  const line = document.getElementById(`line-${step}`) ?? form;
  return line.querySelector(".title, .name, strong")?.textContent ?? step;
}

// What a form of marks asks for: one mark, those of a part of the day, or a box of the days before.
function marksOf(form, pressed) {
  const [, , first, kind, name] = form.getAttribute("action").split("/");
  const one = (step, date, mark) => ({ step, date, mark, title: titleOf(step, form) });
  const wanted = pressed.value === "undo" ? null : pressed.value;
  if (first === "lines") return [one(kind, pressed.value, pressed.name === "kept" ? "kept" : null)];
  if (kind === "marks") return [one(name, first, wanted)];
  const steps = wanted ? form.dataset.steps.split(",") : new FormData(form).getAll("step");
  return steps.map((step) => one(step, first, wanted));
}

const isOfMarks = (form) => /^\/days\/(lines|[^/]+\/(marks|parts))\//.test(form?.getAttribute("action") ?? "");

// Keeps marks that nobody answered to; false where the browser keeps nothing.
async function keepUnsent(found, tapped = new Date().toISOString()) {
  const household = document.body.dataset.household;
  const marks = found.map((mark) => ({ ...mark, household, tapped_at: tapped }));
  try {
    if (!(await keepMarks(marks))) sayTrouble(FULL);
  } catch {
    return false;
  }
  await showUnsent();
  navigator.serviceWorker?.ready.then((worker) => worker.sync?.register("marks")).catch(() => {});
  plan();
  return true;
}

function plan() {
  clearTimeout(nextTry);
  nextTry = setTimeout(send, untilNext);
  untilNext = Math.min(2 * untilNext, LONGEST_PAUSE);
}

async function send() {
  clearTimeout(nextTry);
  const how = await sendMarks();
  if (how === "away") plan();
  else untilNext = FIRST_PAUSE;
  await showUnsent(how === "unpaired");
}

// The list as the server now has it, around which everything else of the page stays.
function showAnew() {
  if (document.body.dataset.shell) location.reload();
  for (const select of ["#list", "#grid"]) {
    if (document.querySelector(select)) htmx.ajax("GET", location.pathname, { target: select, select, swap: "outerHTML" });
  }
}

async function showUnsent(unpaired = false) {
  const marks = await everyMark();
  const open = marks.filter((mark) => !mark.answer);
  // Another tab or the worker may have sent them, of which nobody tells.
  const fewer = open.length < waiting;
  waiting = open.length;
  drawUnsent(open.length, marks.filter((mark) => mark.answer), unpaired);
  const list = document.getElementById("list");
  for (const mark of open) {
    const hand = document.getElementById(`do-${mark.step}`);
    if (hand && list?.dataset.date === mark.date) drawHand(hand, mark, true);
    const box = document.getElementById(`box-${mark.step}-${mark.date}`);
    if (box) Object.assign(box, { name: mark.mark ? "undo" : "kept", className: "unsent", title: "not sent yet" });
  }
  if (fewer) showAnew();
}

// The mark of a line and what can be done about it.
function drawHand(hand, line, unsent) {
  const marked = (mark) => keepUnsent([{ step: line.step, date: line.date, title: line.title, mark }]);
  const drawn = line.mark
    ? [button("Undo", () => marked(null), "quiet"), stamp(STAMPS[line.mark], unsent)]
    : [...others(line, marked), button("Kept", () => marked("kept"), "keep")];
  drawn[0].ariaLabel = line.mark ? `Undo the mark of ${line.title}` : `Other marks for ${line.title}`;
  if (unsent && !line.mark) drawn.push(stamp("Undone", unsent));
  const form = element("form", "");
  form.append(...drawn);
  hand.replaceChildren(form);
}

function stamp(words, unsent) {
  const made = element("p", words, { className: unsent ? "stamp unsent" : "stamp" });
  if (unsent) made.append(element("small", "not sent yet"));
  return made;
}

function others(line, marked) {
  const sheet = element("div", "", { className: "sheet others", popover: "auto" });
  const choices = [["Small version", "small"], ["Excused", "excused"], ["Missed", "missed"]];
  sheet.append(element("p", line.title, { className: "subject" }));
  for (const [words, mark] of choices) sheet.append(button(words, () => marked(mark)));
  sheet.append(button("Close", () => sheet.hidePopover(), "quiet"));
  return [button("\u22ee", () => sheet.showPopover(), "quiet dots"), sheet];
}

// How many wait stands in the head, where it moves nothing that somebody is about to tap.
function drawUnsent(count, answered, unpaired) {
  const words = count === 1 ? "1 mark not sent yet" : `${count} marks not sent yet`;
  const pair = unpaired ? [". ", element("a", "Pair this device", { href: "/pair" })] : [];
  putting("unsent", count ? [words, ...pair] : [], (made) => document.querySelector(".house > .name").after(made));
  putting("answered", answered.map(drawAnswered), (made) => document.getElementById("main").prepend(made));
}

// Puts something on the page where there is something; what is empty is taken away again.
function putting(id, content, put) {
  const made = document.getElementById(id) ?? element("div", "", { id, role: "status" });
  made.replaceChildren(...content);
  if (!content.length) made.remove();
  else if (!made.isConnected) put(made);
}

// A mark that was not taken: it stays in sight until somebody has chosen.
function drawAnswered(mark) {
  const { newer, detail } = mark.answer;
  const off = async () => dropMark(mark.number).then(() => showUnsent());
  const mine = async () => {
    await changeMark({ ...mark, answer: undefined, id: newId(), seen_version: newer.seen_version });
    await showUnsent();
    await send();
  };
  const did = (made) => (made ? `marked it ${STAMPS[made].toLowerCase()}` : "took its mark back");
  const box = element("div", "", { className: "note" });
  const yours = mark.mark ? STAMPS[mark.mark].toLowerCase() : "mark taken back";
  const words = newer
    ? `${newer.name || "Somebody"} ${did(newer.mark)} at ${timeOf(newer.at)}; yours from ${timeOf(mark.tapped_at)} (${yours}) was not used.`
    : `Not taken (${yours}). ${detail}`;
  box.append(element("p", `${mark.title}, ${dayOf(mark.date)}: ${words}`));
  box.append(...(newer ? [button("Use mine", mine), button("Leave it", off)] : [button("Take it off", off)]));
  return box;
}

// What the browser keeps goes before it signs out; marks that would be lost are told first.
document.addEventListener("submit", async (event) => {
  const { target: form, submitter } = event;
  if (sure || form.getAttribute("action") !== "/sign-out") return;
  event.preventDefault();
  if (waiting && !form.dataset.told) await send().catch(() => {});
  if (waiting && !form.dataset.told) {
    form.dataset.told = "yes";
    sayTrouble(`${waiting} not sent yet would be lost with signing out. To sign out all the same, press it again.`);
    return;
  }
  await forgetAll().catch(() => {});
  submitSurely(form, submitter);
});

// The list as the page shows it, for a day without network; only where a worker could show it.
function keepToday() {
  const list = document.getElementById("list");
  if (!list?.dataset.keep) return;
  const lines = Array.from(list.querySelectorAll(".line:has(> .hand)"), (line) => ({
    step: line.id.slice("line-".length),
    title: line.querySelector(".title").textContent,
    slot: line.closest("[id^=part-]").id.slice("part-".length),
    mark: line.querySelector("[data-mark]")?.dataset.mark || null,
  }));
  const { household } = document.body.dataset;
  keepDay({ date: list.dataset.date, at: new Date().toISOString(), household, lines }).catch(() => {});
}

const letDaysGo = () => forgetDays().catch(() => {});

addEventListener("load", () => {
  const list = document.getElementById("list");
  if (!list || document.body.dataset.shell) return;
  if (!list.dataset.keep || !navigator.serviceWorker) letDaysGo();
  else navigator.serviceWorker.register("/sw.js").then(keepToday, letDaysGo);
});

for (const [target, name] of [[window, "online"], [window, "pageshow"], [document, "visibilitychange"]]) {
  target.addEventListener(name, () => document.hidden || showUnsent().then(() => waiting && send()).catch(() => {}));
}
navigator.serviceWorker?.addEventListener("message", () => showUnsent());

document.addEventListener("htmx:after:swap", () => {
  if (navigator.serviceWorker?.controller) keepToday();
  showUnsent().then(() => waiting && send()).catch(() => {});
});
