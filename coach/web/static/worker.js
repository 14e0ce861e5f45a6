// The service worker. Before this stands what it keeps, as coach/web/offline.py writes it:
// LASTING = {cache, shell, files, scripts}. It keeps these files and no page; what is on the list is kept by the page.
"use strict";

importScripts(...LASTING.scripts);

const PATIENCE = 3000;
const OPENS = new Set(["/", "/today"]);

addEventListener("install", (event) => {
  skipWaiting();
  event.waitUntil(fill());
});

async function fill() {
  const cache = await caches.open(LASTING.cache);
  const keep = async (address) => {
    const answer = await fetch(address, { redirect: "error", credentials: "omit" });
    if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
    await cache.put(address, answer);
  };
  await Promise.all([LASTING.shell, ...LASTING.files].map(keep));
}

addEventListener("activate", (event) => event.waitUntil(takeOver()));

async function takeOver() {
  for (const name of await caches.keys()) if (name !== LASTING.cache) await caches.delete(name);
  await registration.navigationPreload?.enable();
  await clients.claim();
}

addEventListener("fetch", (event) => {
  const { method, mode, url } = event.request;
  const { origin, pathname, search } = new URL(url);
  if (method !== "GET" || origin !== location.origin) return;
  if (LASTING.files.includes(pathname + search)) event.respondWith(kept(pathname + search, event.request));
  else if (mode === "navigate" && OPENS.has(pathname)) event.respondWith(today(event));
});

async function kept(address, request) {
  // To open a cache that was deleted would bring it back.
  const found = await caches.match(address, { cacheName: LASTING.cache, ignoreVary: true });
  return found ?? fetch(request);
}

// The page from the network, or in its place the one that shows the list as it was.
async function today(event) {
  const fresh = Promise.resolve(event.preloadResponse).then((found) => found ?? fetch(event.request));
  event.waitUntil(fresh.catch(() => {}));
  const late = new Promise((_, reject) => setTimeout(reject, PATIENCE));
  try {
    const answer = await Promise.race([fresh, late]);
    if (answer.status === 401) await forgetDays();
    return answer;
  } catch {
    return kept(LASTING.shell, event.request);
  }
}

addEventListener("sync", (event) => event.waitUntil(sendAndTell()));

async function sendAndTell() {
  const how = await sendMarks();
  for (const page of await clients.matchAll()) page.postMessage("sent");
  // The browser tries again later by itself.
  if (how === "away") throw new Error("No answer");
}

// One message a day: the title of the lesson, how many lines there are, where both lead and what ends them. What is
// still shown gives way to it.
addEventListener("push", (event) => event.waitUntil(show(event.data)));

async function show(data) {
  let said = null;
  try {
    said = data?.json();
  } catch {
    // A browser wants something to be shown for each message, whatever it was.
  }
  const { title = "Steading", body = "Your list for today", link = "/today", stop } = said ?? {};
  const actions = stop ? [{ action: "stop", title: "End them" }] : [];
  const how = { body, actions, tag: "today", icon: LASTING.icon, lang: "en-GB", data: { link, stop } };
  await registration.showNotification(title, how);
}

addEventListener("notificationclick", (event) => {
  const { link, stop } = event.notification.data;
  event.notification.close();
  event.waitUntil(openPage(event.action === "stop" ? stop : link));
});

async function openPage(link) {
  const { pathname } = new URL(link, location.origin);
  const open = await clients.matchAll({ type: "window" });
  const page = open.find(({ url }) => new URL(url).pathname === pathname);
  if (page) await page.focus();
  else await clients.openWindow(pathname);
}
