"""`/api/reminder`: the one message a day of whoever asks."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.messages import reminders
from coach.messages.answers import Reminders
from coach.messages.reminders import Wish
from coach.progress.days import hour_of
from coach.web.api.answers import problems, written
from coach.web.api.messages.bodies import ReminderBody
from coach.web.api.strictness import SecretRoute
from coach.web.deps import CallerDep, CarrierDep, ContextDep

router = APIRouter(prefix="/reminder", tags=["messages"], route_class=SecretRoute)

REMINDERS = TypeAdapter(Reminders)


@router.get("", response_model=Reminders, responses=problems("unpaired"))
def look(context: ContextDep, carrier: CarrierDep, caller: CallerDep) -> Response:
    """What one asked for, what there is to choose, and what was sent lately; nobody else's is told."""
    return written(REMINDERS, reminders.reminders(context, carrier, caller))


@router.put(
    "", response_model=Reminders, responses=problems("unpaired", "not-started", "not-editable", "not-allowed")
)
def ask(context: ContextDep, carrier: CarrierDep, caller: CallerDep, body: ReminderBody) -> Response:
    """Ask for one message a day, in the place of what was asked for before."""
    wish = Wish(body.way, hour_of(body.at), body.address, body.key, body.auth, body.device)
    return written(REMINDERS, reminders.put(context, carrier, caller, wish))


@router.delete("", response_model=Reminders, responses=problems("unpaired"))
def end(context: ContextDep, carrier: CarrierDep, caller: CallerDep) -> Response:
    """Ask for none any more; what was known of where it went is forgotten."""
    return written(REMINDERS, reminders.end(context, carrier, caller))
