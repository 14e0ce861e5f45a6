// The page of reminders, where a message goes to this browser: it is asked from a tap alone, subscribes, and sends the
// form with where it is reached. Where that cannot be, the page says why.
"use strict";

const ASK = document.querySelector("form[data-subscribe]");
const NOT_HERE = "This browser takes no messages from pages. Mail would reach you.";
const NOT_SAFE = "A browser takes messages over an encrypted connection alone: this device has to trust the certificate.";
const ON_IOS = "An iPhone or iPad takes messages for pages on its home screen alone: put Steading there, and open it from there.";
const DENIED = "This browser was told to show no messages from here and asks no more; its settings for this page can change that.";
const UNANSWERED = "Nothing was allowed, so nothing changed. Tap again when you want to.";
const NO_SERVICE = "The push service of this browser did not answer. Try again when there is a way to the internet.";

function hindrance() {
  const { userAgent, maxTouchPoints, standalone } = navigator;
  if (!isSecureContext) return NOT_SAFE;
  const isApple = /iPhone|iPad/.test(userAgent) || (/Macintosh/.test(userAgent) && maxTouchPoints > 1);
  if (isApple && !standalone) return ON_IOS;
  if (!navigator.serviceWorker || !("PushManager" in window)) return NOT_HERE;
  return Notification.permission === "denied" ? DENIED : "";
}

function sayOfReminders(text) {
  const place = ASK.querySelector("[role=status]") ?? document.createElement("p");
  Object.assign(place, { role: "status", textContent: text });
  ASK.append(place);
}

// With another key than ours a browser keeps what it has, so that goes first.
async function subscription() {
  const { pushManager } = await navigator.serviceWorker.register("/sw.js").then(() => navigator.serviceWorker.ready);
  const how = { userVisibleOnly: true, applicationServerKey: ASK.dataset.subscribe };
  try {
    return await pushManager.subscribe(how);
  } catch (error) {
    const old = error.name === "InvalidStateError" && (await pushManager.getSubscription());
    if (!old) throw error;
    await old.unsubscribe();
    return pushManager.subscribe(how);
  }
}

async function fillIn() {
  const permission = await Notification.requestPermission();
  if (permission !== "granted") return permission === "denied" ? DENIED : UNANSWERED;
  try {
    const { endpoint, keys } = (await subscription()).toJSON();
    const device = navigator.userAgentData?.platform ?? "";
    for (const [name, value] of Object.entries({ address: endpoint, key: keys.p256dh, auth: keys.auth, device })) {
      ASK.elements[name].value = value;
    }
    return "";
  } catch (error) {
    return error.name === "NotAllowedError" ? DENIED : NO_SERVICE;
  }
}

let isFilledIn = false;

ASK?.addEventListener("submit", async (event) => {
  if (isFilledIn) return;
  event.preventDefault();
  event.stopPropagation();
  const button = event.submitter ?? ASK.querySelector("button");
  button.disabled = true;
  const why = hindrance() || (await fillIn());
  button.disabled = false;
  if (why) return sayOfReminders(why);
  isFilledIn = true;
  ASK.requestSubmit(button);
  isFilledIn = false;
});

if (ASK) {
  const why = hindrance();
  if (why) sayOfReminders(why);
}

// Whoever wants none any more is not kept subscribed either; the service forgets the address in any case.
const END = document.querySelector("form[action='/reminders/end']");
const UNSUBSCRIBED_WITHIN = 2000;

async function unsubscribe() {
  const found = await navigator.serviceWorker?.getRegistration();
  const old = await found?.pushManager?.getSubscription();
  await old?.unsubscribe();
}

let isEnding = false;

END?.addEventListener("submit", async (event) => {
  if (isEnding) return;
  event.preventDefault();
  event.stopPropagation();
  await Promise.race([unsubscribe(), new Promise((done) => setTimeout(done, UNSUBSCRIBED_WITHIN))]).catch(() => {});
  isEnding = true;
  END.requestSubmit(event.submitter);
});
