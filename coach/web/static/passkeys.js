// Passkeys: the device is asked from a tap alone, and says in words what kept it from answering. Bytes travel as base64url,
// by the browser's own conversions where it has them.
"use strict";

const FORMS = document.querySelectorAll("form[data-passkey]");
const NONE = document.querySelectorAll("[data-passkey='none']");
const NO_PASSKEYS = "This browser knows no passkeys, or not over this connection.";
const LEFT = "Nothing was chosen, so nothing changed. Tap again when you want to.";
const THERE = "This device has a passkey of yours already; it is in the list below.";
const NO_ANSWER = "Steading did not answer. Try again when it is in reach.";
const AFTERWARDS = { passkeys: "/passkeys?said=confirmed", recovery: "/recovery?said=confirmed" };

function bytes(text) {
  const plain = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(plain, (letter) => letter.charCodeAt(0));
}

function base64url(buffer) {
  const plain = btoa(String.fromCharCode(...new Uint8Array(buffer)));
  return plain.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

function creation(options) {
  if (PublicKeyCredential.parseCreationOptionsFromJSON) return PublicKeyCredential.parseCreationOptionsFromJSON(options);
  const excludeCredentials = options.excludeCredentials.map((one) => ({ ...one, id: bytes(one.id) }));
  const user = { ...options.user, id: bytes(options.user.id) };
  return { ...options, challenge: bytes(options.challenge), user, excludeCredentials };
}

function request(options) {
  if (PublicKeyCredential.parseRequestOptionsFromJSON) return PublicKeyCredential.parseRequestOptionsFromJSON(options);
  return { ...options, challenge: bytes(options.challenge), allowCredentials: [] };
}

const PARTS = ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"];

function answered(credential) {
  if (credential.toJSON) return credential.toJSON();
  const { id, rawId, type, response } = credential;
  const there = PARTS.filter((part) => response[part]).map((part) => [part, base64url(response[part])]);
  return { id, rawId: base64url(rawId), type, response: Object.fromEntries(there) };
}

// What speaks against it is said in the service's own words.
async function post(address, body) {
  const how = { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) };
  const answer = await fetch(address, how).catch(() => null);
  if (!answer) throw new Error(NO_ANSWER);
  const said = await answer.json().catch(() => ({}));
  if (!answer.ok) throw new Error(said.detail ?? NO_ANSWER);
  return said;
}

async function add(form) {
  const { publicKey } = await post("/api/passkeys/begin", {});
  const made = await navigator.credentials.create({ publicKey: creation(publicKey) });
  await post("/api/passkeys", { answer: answered(made), name: form.elements.name.value });
  location.assign("/passkeys?said=passkey-added");
}

async function signIn(form) {
  const { publicKey } = await post("/api/sign-in/begin", {});
  const found = await navigator.credentials.get({ publicKey: request(publicKey) });
  const device = document.querySelector("select[name=device]")?.value ?? "";
  const { household } = await post("/api/sign-in", { answer: answered(found), device });
  location.assign(AFTERWARDS[form.dataset.after] ?? (household ? "/today" : "/groups"));
}

const WORK = { add, "sign-in": signIn };
const WORDS = { NotAllowedError: LEFT, AbortError: LEFT, InvalidStateError: THERE, SecurityError: NO_PASSKEYS, NotSupportedError: NO_PASSKEYS };

function say(form, text) {
  const place = form.querySelector("[role=status]");
  place.hidden = !text;
  place.textContent = text;
}

async function work(event) {
  event.preventDefault();
  event.stopPropagation();
  const form = event.currentTarget;
  const button = form.querySelector("button");
  button.disabled = true;
  say(form, "");
  try {
    await WORK[form.dataset.passkey](form);
  } catch (error) {
    say(form, WORDS[error.name] ?? error.message);
  }
  button.disabled = false;
}

for (const form of FORMS) {
  if (!window.PublicKeyCredential || !navigator.credentials) break;
  form.hidden = false;
  form.addEventListener("submit", work);
}
for (const text of NONE) {
  if (window.PublicKeyCredential && navigator.credentials) text.hidden = true;
  else text.textContent = NO_PASSKEYS;
}
