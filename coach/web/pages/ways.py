"""Ways between pages: redirects after a form, and the few words said on arrival."""

import re
from http import HTTPStatus
from typing import Annotated, Literal

from fastapi import Form
from fastapi.responses import RedirectResponse

# An address carries only the key, so that no address can put words into a page.
SAID = {
    "saved": "Saved.",
    "kept": "Marked as kept.",
    "aside": "Set aside. It is off your list, and you can bring it back whenever you like.",
    "restored": "Brought back.",
    "next": "It comes next, as soon as it can.",
    "added": "Added. It comes in its turn.",
    "away": "Noted. Nothing is due while you are away.",
    "back": "You are back.",
    "called-off": "Taken back.",
    "returned": "Your list is ready.",
    "moved": "Moved. It holds from today on.",
    "moved-back": "Moved back.",
    "balanced": "The week is balanced. It holds from today on.",
    "lines-back": "These are the lines of the course again.",
    "dinners-planned": "Saved. The dinners are planned.",
    "left-freezer": "Noted.",
    "favourite-kept": "Kept as a favourite.",
    "favourite-put": "It is on that date now.",
    "taken-off": "Taken off.",
    "written-down": "Written down.",
    "cleared": "Cleared.",
    "seen-to": "Seen to.",
    "paid": "Paid.",
    "done": "Finished.",
    "open-again": "It is open again.",
    "picked": "Picked for the next desk work.",
    "divided": "Your home is divided. Change whatever does not fit; every change can be taken back.",
    "area-changed": "Changed. It holds from this week on.",
    "area-moved": "Moved. The order holds from this week on.",
    "suggestion-added": "Added to the list.",
    "suggestion-off": "Taken off the suggestions.",
    "suggestion-kept": "It stands beside the list now, as a suggestion.",
    "undone": "Taken back.",
    "restored-database": "The backup is back in place.",
    "brought-in": "The log is brought in.",
    "put-back": "What was there before is back.",
    "ended": "Ended. It is not let in any more.",
    "feed-ended": "Ended. Its address finds nothing any more.",
    "others-ended": "Ended. Only this device is left of them.",
    "codes-ended": "Ended. No code lets anybody in any more.",
    "page-kept": "Saved.",
    "page-deleted": "Deleted.",
    "page-placed": "Moved.",
    "entered": "Entered.",
    "reminded": "Saved. One message a day at most, from the next time that hour comes.",
    "quiet": "Ended. No more messages come, and the address is forgotten.",
    "group-made": "The group is made. Print an invitation next, and hand it round.",
    "asked": "Asked. The answer comes below the lesson.",
    "answered": "Answered. Those who asked see it below the lesson.",
    "apart": "It stands by itself now, and stays so.",
    "together": "Put together.",
    "invitations-ended": "Ended. None of this group\u2019s invitations lets anybody in any more.",
    "version-kept": "Kept as a new version, which holds once you pick a date. This is what it changes.",
    "version-known": "This version was here already.",
    "version-holds": "It holds from that date on.",
    "version-back": "Taken back. What holds now goes on.",
    "shared": "Saved. It holds from now on.",
    "left-group": "You are out of the group. Everything of yours is here as before.",
    "brought-home": "Your home is here, with its log and its plan.",
    "passkey-added": "Added. You can sign in with it from now on.",
    "passkey-removed": "Removed. Nobody signs in with it any more.",
    "recovered": "You are in. The code you used is used up.",
    "confirmed": "It is you. For the next fifteen minutes you can change how you come in.",
    "sheet-ended": "Ended. No code of that sheet lets anybody in any more.",
    "taken-out": "Taken out. Their devices are not let in any more.",
}

# The pages of ours that a form on several of them can name to come back to; a job's page by its step.
_BACKS = re.compile(r"today|desk|dinner|areas/week|jobs/[A-Za-z0-9][A-Za-z0-9._-]{0,79}")

Back = Annotated[Literal["today", "step"], Form()]


def back_to(page: str, otherwise: str) -> str:
    """The address of the page a form was on; `otherwise` where it names none that is known."""
    return f"/{page}" if _BACKS.fullmatch(page) else otherwise


def see(address: str, said: str | None = None) -> RedirectResponse:
    """Go and look at a page after a form: 303, so that neither reload nor back sends the form again."""
    joined = "&" if "?" in address else "?"
    return RedirectResponse(f"{address}{joined}said={said}" if said else address, HTTPStatus.SEE_OTHER)


def words(said: str | None) -> str | None:
    """What a key of an address says; nothing for an unknown key."""
    return SAID.get(said or "")
