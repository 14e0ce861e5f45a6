// A code that was scanned stands behind the # of the address, which no browser sends. It is taken from there, goes out of
// the address bar at once, and is sent as a form.
"use strict";

function takeCode() {
  const form = document.getElementById("pair-code");
  const field = document.getElementById("code");
  const code = decodeURIComponent(location.hash.slice(1)).slice(0, 100);
  if (!form || !field || !code) return;
  history.replaceState(null, "", location.pathname);
  field.value = code;
  form.requestSubmit();
}

try {
  takeCode();
} catch {
  // What stands there is no code; it can be typed.
}
addEventListener("hashchange", takeCode);
