"""`/desk/dues`: dues written down, changed, settled, and taken off."""

import datetime as dt
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.errors import Malformed, NotEditable, Unknown
from coach.progress.days import iso_date
from coach.services import desk as desks
from coach.services import dues
from coach.services.desk_results import DueView
from coach.services.due_rows import TypedDue
from coach.services.faults import Unfit
from coach.services.ports import Context
from coach.services.repeats import AS_IS, CHOICES, choice_of, rule_for
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.desk import DueFields, Shown, by_field, desk_page
from coach.web.pages.ways import see
from coach.web.rendering import page

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


def _known(context: Context, household: str, due: str) -> DueView:
    found = next((one for one in desks.desk(context, household).dues if one.id == due), None)
    if found is None:
        raise Unknown("There is no such due. It may have been settled or taken off meanwhile.")
    return found


def _page(
    request: Request,
    due: DueView,
    fields: DueFields,
    faults: dict[str, str] | None = None,
    trouble: str | None = None,
) -> Response:
    choices = CHOICES
    if choice_of(due.repeats, due.on) == AS_IS:
        choices = {AS_IS: f"As now: {due.repeats_text}", **CHOICES}
    values = {"due": due, "fields": fields, "faults": faults or {}, "choices": choices, "trouble": trouble}
    return page(request, "due.html", values, 422 if faults or trouble else 200)


@router.get("/{due}")
def due(request: Request, context: ContextDep, household: HouseholdDep, due: DueId) -> Response:
    """One due, to be changed or taken off."""
    found = _known(context, household, due)
    repeats = choice_of(found.repeats, found.on)
    fields = DueFields(found.name, found.on.isoformat(), repeats, str(found.needs), found.amount or "")
    return _page(request, found, fields)


@router.post("/{due}")
def change(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    due: DueId,
    form: Annotated[DueForm, Form()],
) -> Response:
    """Change it."""
    found = _known(context, household, due)
    try:
        dues.change(context, household, due, form.typed(found.repeats))
    except Unfit as error:
        return _page(request, found, form.fields(), by_field(error.faults))
    except Malformed as error:
        return _page(request, found, form.fields(), trouble=str(error))
    return see("/desk", "saved")


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
