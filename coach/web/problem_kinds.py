"""Every kind of problem that this application answers with."""

from __future__ import annotations

START = "/start"

# Name, title, status and a general explanation of each.
KINDS: dict[str, tuple[str, int, str]] = {
    "unknown": ("Not found", 404, "There is no such page, step or date."),
    "not-editable": (
        "Cannot be changed",
        409,
        "The date or the choice cannot be changed any more.",
    ),
    "not-started": (
        "Not started yet",
        409,
        f"No first step has been chosen. Begin at {START}.",
    ),
    "already-started": ("Already started", 409, "The household has chosen its first step already."),
    "outdated": (
        "Changed meanwhile",
        412,
        "What is to be changed is not what was read; `now` is how it stands.",
    ),
    "malformed": ("Cannot be read", 422, "A value is missing or cannot be read; the detail says which."),
    "asked-otherwise": (
        "Another request's id",
        422,
        "The `request_id` was sent with another request within the last 14 days; nothing was written.",
    ),
    "said-once": (
        "Said only once",
        409,
        "It was done; the secret in its answer is not said again. Ask under another `request_id`.",
    ),
    "faulty-file": (
        "The file has faults",
        422,
        "Nothing was taken from it; its faults are listed, at most the first fifty.",
    ),
    "does-not-fit": (
        "Does not fit on the page",
        409,
        "It is too long for its page. The detail says by how much, and what could be left off.",
    ),
    "store": ("The database cannot be used", 503, "Nothing was saved. The detail says what to look at."),
    "not-ready": (
        "This machine is not ready for that",
        503,
        "Nothing was changed. The detail says what to look at; `coach doctor` looks at the rest.",
    ),
    "crowded": (
        "Too much at once",
        503,
        "Nothing was saved: too many changes wait before this one. Try again in a moment.",
    ),
    "method": (
        "Not that way",
        405,
        "The address takes other methods; Allow lists them.",
    ),
    "too-large": ("Too large", 413, "The request holds more than this address takes."),
    "media-type": ("Another kind of content", 415, "This address takes a log as text/csv."),
    "unpaired": (
        "Not paired",
        401,
        "This device or program has not been let in. Pair it with a code at /pair.",
    ),
    "not-allowed": (
        "Not for you to change",
        403,
        "Only a keeper of the household does this.",
    ),
    "wrong-code": (
        "The code does not fit",
        403,
        "It is wrong, used up or over. Ask for a new one.",
    ),
    "wrong-passkey": (
        "The passkey does not fit",
        403,
        "Its answer does not fit what was asked, or comes too late. Let the browser ask once more.",
    ),
    "confirm-first": (
        "Confirm first that it is you",
        403,
        "You were let in more than fifteen minutes ago. Sign in on this device once more at /sign-in.",
    ),
    "too-often": ("Tried too often", 429, "Wait as long as Retry-After says, then try again."),
    "newer": (
        "Marked meanwhile",
        409,
        "Somebody else has marked this line since; nothing was written. The answer is what stands.",
    ),
    "host": (
        "Unknown host name",
        400,
        "This service does not answer under that name.",
    ),
    "cross-site": (
        "Came from another site",
        403,
        "Only this service's own pages may ask for changes.",
    ),
    "request": ("Cannot be answered", 400, "The request cannot be understood."),
    "failure": (
        "Something went wrong here",
        500,
        "The request failed. The server's log says why.",
    ),
}
