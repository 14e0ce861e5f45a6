// Today's page without network: the lists that were kept, with the marks made since.
"use strict";

const PARTS = { morning: "Morning", anytime: "Anytime", evening: "Evening" };
const NONE = "No list is kept in this browser yet. Open today\u2019s page once while Steading answers.";

async function showDays() {
  const days = (await everyDay()).reverse();
  if (days.length) return showDay(days[0], days);
  document.getElementById("list").append(element("p", NONE));
}

async function showDay(day, days) {
  const list = document.getElementById("list");
  list.dataset.date = day.date;
  document.getElementById("day").textContent = dayOf(day.date);
  document.getElementById("from").textContent = `from ${dayOf(day.at, {})}, ${timeOf(day.at)}`;
  list.replaceChildren(...Object.keys(PARTS).flatMap((slot) => part(day, slot)));
  const others = days.filter((other) => other !== day);
  const leads = others.map((other) => button(dayOf(other.date), () => showDay(other, days), "quiet"));
  document.getElementById("days").replaceChildren(...leads);
  await showUnsent();
}

function part(day, slot) {
  const lines = day.lines.filter((line) => line.slot === slot);
  if (!lines.length) return [];
  const section = element("section", "", { className: "slot" });
  const head = element("div", "", { className: "slot-head" });
  head.append(element("h2", PARTS[slot]));
  const list = element("ul", "", { className: "lines" });
  list.append(...lines.map((line) => row({ ...line, date: day.date })));
  section.append(head, list);
  return [section];
}

function row(line) {
  const made = element("li", "", { className: "line", id: `line-${line.step}` });
  const words = element("div", "", { className: "words" });
  words.append(element("bdi", line.title, { className: "title" }));
  const hand = element("div", "", { className: "hand" });
  const place = element("div", "", { className: "do", id: `do-${line.step}` });
  hand.append(place);
  made.append(words, hand);
  drawHand(place, line, false);
  return made;
}

addEventListener("DOMContentLoaded", showDays);
addEventListener("online", () => location.reload());
