// What the browser keeps: the lists of at most 8 days, and marks that are not sent yet. Titles and marks, and nothing
// else of a household; docs/decisions/33-what-is-kept-in-the-browser.md says why.
"use strict";

const MOST_DAYS = 8;
const MOST_MARKS = 500;
const KEPT = "steading";

// Only what is put in makes the database; to read it must not bring it back behind somebody who signed out. Null: none.
function database(made) {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(KEPT, 1);
    let none = false;
    asked.onupgradeneeded = () => {
      none = !made;
      if (none) return asked.transaction.abort();
      asked.result.createObjectStore("days", { keyPath: "date" });
      asked.result.createObjectStore("marks", { keyPath: "number", autoIncrement: true });
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => (none ? resolve(null) : reject(asked.error));
  });
}

// One transaction; the database is closed after it, so that signing out can delete it.
async function within(store, mode, work, made = false) {
  const held = await database(made);
  if (!held) return [];
  try {
    return await new Promise((resolve, reject) => {
      const transaction = held.transaction(store, mode);
      const asked = work(transaction.objectStore(store));
      transaction.oncomplete = () => resolve(asked?.result);
      transaction.onabort = () => reject(transaction.error);
    });
  } finally {
    held.close();
  }
}

const everyDay = () => within("days", "readonly", (days) => days.getAll());
const forgetDays = () => within("days", "readwrite", (days) => days.clear());
const everyMark = () => within("marks", "readonly", (marks) => marks.getAll());
const changeMark = (mark) => within("marks", "readwrite", (marks) => marks.put(mark));
const dropMark = (number) => within("marks", "readwrite", (marks) => marks.delete(number));

async function keepDay(day) {
  const others = (await everyDay()).map((one) => one.date).filter((date) => date !== day.date);
  const put = (days) => {
    for (const date of others.slice(0, Math.max(0, others.length - MOST_DAYS + 1))) days.delete(date);
    days.put(day);
  };
  await within("days", "readwrite", put, true);
}

// Whether there was room for all of them.
async function keepMarks(found) {
  if ((await everyMark()).length + found.length > MOST_MARKS) return false;
  const add = (marks) => {
    for (const mark of found) marks.add({ ...mark, id: newId() });
  };
  await within("marks", "readwrite", add, true);
  return true;
}

// A UUID of version 4 (RFC 9562 §5.4). crypto.randomUUID is not there on plain http.
function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const digits = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return digits.replace(/(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

async function forgetAll() {
  const registered = (await navigator.serviceWorker?.getRegistrations()) ?? [];
  for (const one of registered) await one.unregister();
  for (const name of globalThis.caches ? await caches.keys() : []) await caches.delete(name);
  // Another tab may hold the database open; what stands in it is gone all the same.
  await within("marks", "readwrite", (marks) => marks.clear());
  await forgetDays();
  await new Promise((resolve) => {
    const asked = indexedDB.deleteDatabase(KEPT);
    asked.onsuccess = asked.onerror = resolve;
    setTimeout(resolve, 2000);
  });
}

// Sends the marks that are kept, in order, each once; the pages do it, and the worker where there is one.

const ANSWER_WITHIN = 20_000;
const AGAIN = new Set([408, 425, 429]);

let underWay = null;

// How it ended: "sent", "away" if nobody answered, or "unpaired". Two tabs do not send at once where locks exist;
// elsewhere the server takes each mark once by its id.
function sendMarks() {
  const sent = () => navigator.locks?.request("steading-marks", sendEach) ?? sendEach();
  underWay ??= sent().finally(() => (underWay = null));
  return underWay;
}

async function sendEach() {
  for (;;) {
    const mark = (await everyMark()).find((one) => !one.answer);
    if (!mark) return "sent";
    const answer = await asked(mark).catch(() => null);
    if (answer?.status === 401) return "unpaired";
    if (!answer || answer.status >= 500 || AGAIN.has(answer.status)) return "away";
    if (answer.ok) await dropMark(mark.number);
    else await changeMark({ ...mark, answer: await told(answer) });
  }
}

// A mark says when it was tapped, so that it may arrive in any order; one chosen over another's says what it has seen.
function asked({ household, date, step, mark, id, tapped_at, seen_version }) {
  const said = { request_id: id, ...(seen_version ? { seen_version } : { tapped_at }) };
  const address = `/api/days/${date}/marks/${encodeURIComponent(step)}`;
  const how = {
    headers: { "Content-Type": "application/json", "Steading-Household": household },
    redirect: "error",
    signal: AbortSignal.timeout(ANSWER_WITHIN),
  };
  return mark
    ? fetch(address, { ...how, method: "PUT", body: JSON.stringify({ mark, ...said }) })
    : fetch(`${address}?${new URLSearchParams(said)}`, { ...how, method: "DELETE" });
}

// Why a mark was not taken: another one's newer mark, or what speaks against it in words.
async function told(answer) {
  const problem = await answer.json().catch(() => ({}));
  const { mark = null, name = "", at = "" } = problem.clash ?? {};
  return problem.clash ? { newer: { mark, name, at, seen_version: problem.version } } : { detail: problem.detail ?? "" };
}
