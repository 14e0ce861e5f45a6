"""`/devices`: a code for another device, what is paired, and what happened at the door."""

from dataclasses import dataclass
from datetime import date, datetime
from http import HTTPStatus
from typing import Annotated
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Form, Request, Response

from coach.errors import SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.ground.wording import full_date, near_day
from coach.household import codes, paired, people, tokens
from coach.household.answers import PairingCode
from coach.household.codes import GROUP
from coach.household.devices import TOUCHED
from coach.household.people_answers import NewToken
from coach.household.places import places
from coach.progress.days import FIRST_ZONE, place_of
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.people.picture import picture
from coach.web.pages.ways import see, words
from coach.web.problems import of_error
from coach.web.reach import base_of, fingerprint, link_of
from coach.web.rendering import page

router = APIRouter(prefix="/devices")

WAYS = {
    "pairing": "Pairing",
    "invitation": "Invitation",
    "code": "Codes",
    "device": "Device",
    "token": "Token",
    "person": "People",
    "feed": "Calendar",
    "passkey": "Passkey",
    "recovery": "Recovery sheet",
}


class When:
    """Instants in words, by the household's clocks.

    Args:
        zone: Where they stand.
        now: The present.
    """

    def __init__(self, zone: ZoneInfo, now: datetime) -> None:
        self._zone = zone
        self._now = now

    def day(self, at: datetime) -> str:
        """The date of an instant."""
        day = at.astimezone(self._zone).date()
        return near_day(day, self._today) or f"on {full_date(day)}"

    def written(self, at: datetime) -> str:
        """The date of an instant, as paper says it that hangs longer than a day."""
        return full_date(at.astimezone(self._zone).date())

    def time(self, at: datetime) -> str:
        """The date and the time of an instant."""
        return f"{self.day(at)} at {at.astimezone(self._zone):%H:%M}"

    def seen(self, at: datetime) -> str:
        """When something was seen that is written down at most hourly."""
        return "within the last hour" if self._now - at < TOUCHED else self.time(at)

    def since(self, at: datetime) -> str:
        """The date of an instant behind the word since."""
        return self.day(at).removeprefix("on ")

    @property
    def _today(self) -> date:
        return self._now.astimezone(self._zone).date()


@dataclass(frozen=True, slots=True)
class Made:
    """What was just made, and stands on the page this once."""

    code: PairingCode | None = None
    token: NewToken | None = None


def devices_page(
    request: Request,
    context: Context,
    caller: Caller,
    made: Made | None = None,
    error: SteadingError | None = None,
    said: str | None = None,
) -> Response:
    """The page.

    Args:
        request: What is answered.
        context: Store and clock.
        caller: Who asks.
        made: A code or a token that was just made.
        error: What speaks against what was asked for.
        said: What was done.
    """
    problem = of_error(error) if error else None
    made = made or Made()
    values = {
        "said": said,
        "trouble": problem.detail if problem else None,
        "caller": caller,
        "way": request.app.state.way,
        **_of_code(request, made.code),
        "token": made.token,
        "devices": paired.devices(context, caller).devices,
        "tokens": tokens.tokens(context, caller).tokens,
        "people": people.people(context, caller).people,
        "latest": tokens.latest_end(context, caller.household).isoformat(),
        "door": paired.at_the_door(context, caller) if caller.is_keeper else (),
        "fingerprint": fingerprint(request),
        "WAYS": WAYS,
        "when": when_of(context, caller),
    }
    found = places(context, caller.household)
    status = problem.status if problem else HTTPStatus.OK
    return page(request, "people/devices.html", values, status, places=found.open)


def _of_code(request: Request, code: PairingCode | None) -> dict[str, object]:
    """A code as it is read out, typed and scanned."""
    base = base_of(request)
    if code is None:
        return {"code": None, "base": base}
    plain = code.code.replace("-", "")
    letters = " ".join(plain[at : at + GROUP] for at in range(0, len(plain), GROUP))
    drawn = picture(link_of(request, code.link))
    invited = len(plain) == codes.INVITATION_LETTERS
    return {"code": code, "base": base, "letters": letters, "picture": drawn, "invited": invited}


def when_of(context: Context, caller: Caller) -> When:
    """Words for instants, by the household's clocks."""
    home = context.store.version(caller.household)
    return When(place_of(home.zone if home else FIRST_ZONE), context.clock())


@router.get("")
def look(request: Request, context: ContextDep, caller: CallerDep, said: str | None = None) -> Response:
    """What is paired."""
    return devices_page(request, context, caller, said=words(said))


@router.post("/code")
def make_code(
    request: Request, context: ContextDep, caller: CallerDep, whose: Annotated[str, Form()] = ""
) -> Response:
    """A new code, shown with its picture; it is nowhere else."""
    made = codes.new_code(context, caller, for_me=whose == "me")
    return devices_page(request, context, caller, Made(code=made))


@router.post("/invitation")
def invite(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """A new invitation, shown the same way."""
    try:
        made = codes.new_invitation(context, caller)
    except SteadingError as error:
        return devices_page(request, context, caller, error=error)
    return devices_page(request, context, caller, Made(code=made))


@router.post("/codes/end")
def end_codes(context: ContextDep, caller: CallerDep) -> Response:
    """No code lets anybody in any more."""
    codes.end_codes(context, caller)
    return see("/devices", "codes-ended")


@router.post("/others/end")
def end_others(context: ContextDep, caller: CallerDep) -> Response:
    """Only this device stays."""
    paired.end_others(context, caller)
    return see("/devices", "others-ended")


@router.post("/{device}/name")
def rename(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    device: str,
    name: Annotated[str, Form()] = "",
) -> Response:
    """Call it something else."""
    try:
        paired.rename(context, caller, device, name)
    except SteadingError as error:
        return devices_page(request, context, caller, error=error)
    return see("/devices", "saved")


@router.post("/{device}/end")
def end(request: Request, context: ContextDep, caller: CallerDep, device: str) -> Response:
    """It is let in no more."""
    try:
        paired.end(context, caller, device)
    except SteadingError as error:
        return devices_page(request, context, caller, error=error)
    return see("/devices", "ended")
