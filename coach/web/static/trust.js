// A code that was scanned stands behind the # of the address, which no browser sends; it goes on with whoever goes on.
"use strict";

for (const link of document.querySelectorAll("a[data-carry]")) link.hash = location.hash;
