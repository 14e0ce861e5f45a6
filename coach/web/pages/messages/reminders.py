"""`/reminders`: one message a day to somebody, by mail or to this browser; changed, tried and ended there."""

from dataclasses import dataclass
from http import HTTPStatus
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.errors import SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.household.places import places
from coach.machine.addresses import host_is_loopback
from coach.messages import reminders
from coach.messages.answers import Reminders
from coach.messages.carriers import Carrier
from coach.messages.reminders import Wish
from coach.progress.days import hour_of
from coach.web.deps import CallerDep, CarrierDep, ContextDep
from coach.web.hosts import host_name
from coach.web.pages.people.devices import when_of
from coach.web.pages.ways import see, words
from coach.web.problems import of_error
from coach.web.rendering import page

router = APIRouter(prefix="/reminders")

USUAL = "08:00"
"""The hour that stands in an empty form."""


class ReminderForm(BaseModel):
    """Which way, at which hour, and where; what a browser says of itself is filled in by its script."""

    model_config = ConfigDict(extra="forbid")

    way: Literal["push", "mail"] = "mail"
    at: str = ""
    address: str = ""
    key: str = ""
    auth: str = ""
    device: str = ""

    @property
    def wish(self) -> Wish:
        """What is asked for.

        Raises:
            Malformed: The hour is none.
        """
        at, address = hour_of(self.at), self.address.strip()
        return Wish(self.way, at, address, self.key, self.auth, self.device)


@dataclass(frozen=True, slots=True)
class Came:
    """What came of what was asked for.

    Attributes:
        form: What was sent and not taken.
        error: Why not.
        said: What was done.
    """

    form: ReminderForm | None = None
    error: SteadingError | None = None
    said: str | None = None


NOTHING = Came()


def _page(
    request: Request, context: Context, carrier: Carrier, caller: Caller, came: Came = NOTHING
) -> Response:
    """The page, with what came of what was asked for."""
    problem = of_error(came.error) if came.error else None
    shown = reminders.reminders(context, carrier, caller)
    found = places(context, caller.household)
    values = {
        "shown": shown,
        "started": found.started,
        "form": came.form or _filled(shown),
        "is_private": request.url.scheme == "https" or host_is_loopback(host_name(request.url.netloc)),
        "has_trust": request.app.state.network is not None,
        "said": came.said,
        "trouble": problem.detail if problem else None,
        "when": when_of(context, caller),
    }
    status = problem.status if problem else HTTPStatus.OK
    return page(request, "messages/reminders.html", values, status, places=found.open)


def _filled(shown: Reminders) -> ReminderForm:
    """The form as it stands before anything is typed."""
    has = shown.reminder
    if has is None:
        return ReminderForm(at=USUAL)
    return ReminderForm(at=has.at, address=has.to if has.way == "mail" else "")


@router.get("")
def look(
    request: Request, context: ContextDep, carrier: CarrierDep, caller: CallerDep, said: str | None = None
) -> Response:
    """What one asked for, what there is to choose, and what was sent lately."""
    return _page(request, context, carrier, caller, Came(said=words(said)))


@router.post("")
def ask(
    request: Request,
    context: ContextDep,
    carrier: CarrierDep,
    caller: CallerDep,
    form: Annotated[ReminderForm, Form()],
) -> Response:
    """Ask for a message a day, in the place of what was asked for before."""
    try:
        reminders.put(context, carrier, caller, form.wish)
    except SteadingError as error:
        return _page(request, context, carrier, caller, Came(form, error))
    return see("/reminders", "reminded")


@router.post("/end")
def end(context: ContextDep, carrier: CarrierDep, caller: CallerDep) -> Response:
    """No message any more."""
    reminders.end(context, carrier, caller)
    return see("/reminders", "quiet")


@router.post("/test")
def send_a_test(request: Request, context: ContextDep, carrier: CarrierDep, caller: CallerDep) -> Response:
    """One message now, to see that it arrives."""
    try:
        said = reminders.send_a_test(context, carrier, caller)
    except SteadingError as error:
        return _page(request, context, carrier, caller, Came(error=error))
    return _page(request, context, carrier, caller, Came(said=f"One message to try it: {said}"))
