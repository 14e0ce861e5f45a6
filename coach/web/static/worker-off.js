// The service worker where none is wanted: it lets go of what was kept, and of itself.
"use strict";

addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil(leave()));

async function leave() {
  for (const name of await caches.keys()) await caches.delete(name);
  await registration.unregister();
}
