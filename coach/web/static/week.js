// What the week does beyond plain forms. Without this file everything works by forms and links.
"use strict";

// A job can be dragged to another day: that sends the form its button would send.

let dragged = null;

function canGo(day) {
  return dragged && (dragged.dataset.days ?? "").split(" ").includes(day?.dataset.date);
}

document.querySelectorAll(".job[data-days]").forEach((job) => {
  job.draggable = true;
  job.addEventListener("dragstart", (event) => {
    dragged = job;
    event.dataTransfer.effectAllowed = "move";
    event.dataTransfer.setData("text/plain", job.dataset.step);
  });
  job.addEventListener("dragend", () => {
    dragged = null;
    document.querySelectorAll(".day.target").forEach((day) => day.classList.remove("target"));
  });
});

document.querySelectorAll(".day[data-date]").forEach((day) => {
  day.addEventListener("dragover", (event) => {
    if (!canGo(day)) return;
    event.preventDefault();
    day.classList.add("target");
  });
  day.addEventListener("dragleave", () => day.classList.remove("target"));
  day.addEventListener("drop", (event) => {
    if (!canGo(day)) return;
    event.preventDefault();
    dragged.querySelector(`.move button[value="${day.dataset.date}"]`).click();
  });
});
