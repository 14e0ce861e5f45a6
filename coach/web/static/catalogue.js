// The catalogue's rows are filtered while a word is typed. Without this file the form asks the server for the same.
"use strict";

const field = document.getElementById("q");
const groups = [...document.querySelectorAll(".group")];
const rows = [...document.querySelectorAll(".offer")].map((row) => ({
  row,
  text: [...row.querySelectorAll(".words")].map((one) => one.textContent).join(" ").toLowerCase(),
}));
const wasOpen = new Map(groups.map((group) => [group, groups.length === 1]));

function say(asked, hits) {
  const place = document.getElementById("found");
  const [verb, them] = hits === 1 ? ["has", "it"] : ["have", "them"];
  place.classList.toggle("hidden", !asked);
  if (!asked) place.textContent = "";
  else if (hits) place.textContent = `${hits} of ${place.dataset.of} steps ${verb} “${asked}” in ${them}.`;
  else place.textContent = `No step has “${asked}” in it. Try another word, or write a step of your own.`;
}

function filter() {
  const asked = field.value.trim().replace(/\s+/g, " ");
  const words = asked.toLowerCase().split(" ");
  for (const { row, text } of rows) row.hidden = !words.every((word) => text.includes(word));
  for (const group of groups) {
    const hits = group.querySelectorAll(".offer:not([hidden])").length;
    group.hidden = !hits;
    group.querySelector(".count").textContent = hits === 1 ? "1 step" : `${hits} steps`;
    group.open = asked ? true : wasOpen.get(group);
  }
  say(asked, rows.filter(({ row }) => !row.hidden).length);
}

field?.addEventListener("input", filter);
