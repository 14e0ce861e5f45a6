"""`/desk/dues`: dues written down, changed, settled, and taken off."""

import datetime as dt
from dataclasses import dataclass, field
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.desk import dues
from coach.desk import overview as desks
from coach.desk.answers import DueView
from coach.desk.due_rows import TypedDue
from coach.desk.repeats import AS_IS, CHOICES, choice_of, rule_for
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.faults import Unfit
from coach.ground.ports import Context
from coach.ground.situation import Situation, looking
from coach.progress.days import iso_date
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.desk.overview import DueFields, Shown, by_field, desk_page
from coach.web.pages.ways import see
from coach.web.showing import View, show

router = APIRouter(prefix="/desk/dues")

DueId = Annotated[str, Path(pattern=r"^[0-9-]{10,20}$")]


class DueForm(BaseModel):
    """A due as typed; `repeats` is a choice."""

    model_config = ConfigDict(extra="forbid")

    name: str = ""
    on: str = ""
    repeats: str = "once"
    needs: str = ""
    amount: str = ""

    def fields(self) -> DueFields:
        """The same, to be shown again."""
        return DueFields(**self.model_dump())

    def typed(self, rule: str | None = None) -> TypedDue:
        """The same for the services, with the choice as a rule.

        Args:
            rule: What `as-is` stands for.

        Raises:
            Malformed: There is no such choice.
        """
        return TypedDue(self.name, self.on, self._rule(rule) or "", self.needs, self.amount)

    def _rule(self, rule: str | None) -> str | None:
        if self.repeats == AS_IS:
            return rule
        try:
            on = iso_date(self.on.strip())
        except Malformed:
            # The service says what is wrong with the date; every rule is right until then.
            return None
        return rule_for(self.repeats, on)


@router.post("")
def add(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[DueForm, Form()]
) -> Response:
    """Write a due down; what cannot be kept is asked again with everything typed still there."""
    try:
        dues.add(context, household, form.typed())
    except Unfit as error:
        shown = Shown(due=form.fields(), wrong="due", faults=by_field(error.faults))
    except (Malformed, NotEditable) as error:
        shown = Shown(due=form.fields(), wrong="due", trouble=str(error))
    else:
        return see("/desk", "written-down")
    return desk_page(request, context, household, shown)


def _known(where: Situation, due: str) -> DueView:
    found = next((one for one in desks.desk_in(where).dues if one.id == due), None)
    if found is None:
        raise Unknown("There is no such due. It may have been settled or taken off meanwhile.")
    return found


@dataclass(frozen=True)
class Refused:
    """A form of a due that could not be used: as it was sent, and why not, by field or as a whole."""

    fields: DueFields
    faults: dict[str, str] = field(default_factory=dict)
    trouble: str | None = None


def _page(
    request: Request, context: Context, household: str, due_id: str, refused: Refused | None = None
) -> Response:
    def view(where: Situation) -> View:
        due = _known(where, due_id)
        repeats, choices = choice_of(due.repeats, due.on), CHOICES
        if repeats == AS_IS:
            choices = {AS_IS: f"As now: {due.repeats_text}", **CHOICES}
        as_it_is = DueFields(due.name, due.on.isoformat(), repeats, str(due.needs), due.amount or "")
        shown = refused or Refused(as_it_is)
        values = {"fields": shown.fields, "faults": shown.faults, "trouble": shown.trouble}
        return "desk/due.html", {"due": due, "choices": choices, **values}

    return show(request, context, household, view, 422 if refused else 200)


@router.get("/{due}")
def due(request: Request, context: ContextDep, household: HouseholdDep, due: DueId) -> Response:
    """One due, to be changed or taken off."""
    return _page(request, context, household, due)


@router.post("/{due}")
def change(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    due: DueId,
    form: Annotated[DueForm, Form()],
) -> Response:
    """Change it."""
    with looking(context, household) as where:
        found = _known(where, due)
    try:
        dues.change(context, household, due, form.typed(found.repeats))
    except Unfit as error:
        refused = Refused(form.fields(), by_field(error.faults))
    except Malformed as error:
        refused = Refused(form.fields(), trouble=str(error))
    else:
        return see("/desk", "saved")
    return _page(request, context, household, due, refused)


@router.post("/{due}/remove")
def remove(context: ContextDep, household: HouseholdDep, due: DueId) -> Response:
    """Take it off."""
    dues.remove(context, household, due)
    return see("/desk", "taken-off")


@router.post("/{due}/settled/{date}")
def settle(
    context: ContextDep,
    household: HouseholdDep,
    due: DueId,
    date: Annotated[dt.date, Path()],
    settled: Annotated[str, Form()] = "yes",
    back: Annotated[str, Form()] = "desk",
) -> Response:
    """Say that a date of it is dealt with, or that it is not."""
    is_settled = settled == "yes"
    (dues.settle if is_settled else dues.unsettle)(context, household, due, date)
    return see("/today" if back == "today" else "/desk", "settled" if is_settled else "open-again")
