"""`/shopping`: what coming dinners need and what was written down, ticked at home and in the shop."""

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Query, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.errors import Malformed, NotEditable, Repeated, SteadingError
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.kitchen import shopping as service
from coach.kitchen import shopping_lines
from coach.kitchen.answers import Shopping
from coach.kitchen.shopping import MOST_DAYS, USUAL_DAYS
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.once import OnceDep
from coach.web.pages.ways import see, words
from coach.web.problems import of_error
from coach.web.rendering import is_partial, page
from coach.web.showing import View, show

router = APIRouter()

Days = Annotated[int, Query(ge=1, le=MOST_DAYS)]
PLAIN = "text/plain; charset=utf-8"
CHOICES = (3, 7, 14)


class LinesForm(BaseModel):
    """Lines for the list, one on each."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    lines: str = ""
    days: Annotated[int, Form(ge=1, le=MOST_DAYS)] = USUAL_DAYS
    request_id: str = ""


class ClearForm(BaseModel):
    """The ticked lines that were looked at."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    line: list[str] = []
    days: Annotated[int, Form(ge=1, le=MOST_DAYS)] = USUAL_DAYS


def _values(found: Shopping, said: str | None = None) -> dict[str, object]:
    ticked = [line.id for item in (*found.in_basket, *found.at_home) for line in item.written]
    return {
        "shopping": found,
        "choices": CHOICES,
        "said": said,
        "typed": "",
        "fault": None,
        "ticked": ticked,
    }


@router.get("/shopping")
def shopping(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    days: Days = USUAL_DAYS,
    said: str | None = None,
) -> Response:
    """The list of the coming days."""
    return show(
        request,
        context,
        household,
        lambda where: ("kitchen/shopping.html", _values(service.shopping_in(where, days), words(said))),
    )


@router.get("/shopping.txt")
def as_text(context: ContextDep, household: HouseholdDep, days: Days = USUAL_DAYS) -> Response:
    """What is to be bought, as plain text to be shared."""
    return Response(service.shopping(context, household, days).text, media_type=PLAIN)


@router.post("/shopping")
def tick(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    key: Annotated[str, Form(max_length=300)],
    tick: Annotated[Literal["at-home", "in-basket", "none"], Form()],
    days: Annotated[int, Form(ge=1, le=MOST_DAYS)] = USUAL_DAYS,
) -> Response:
    """One tap: at home, in the basket, or back on the list."""
    found = service.tick(context, household, key, None if tick == "none" else tick, days)
    if is_partial(request):
        return page(request, "kitchen/parts/shopping_list.html", _values(found))
    return see(address(days))


def address(days: int, said: str | None = None) -> str:
    """Where the list of so many days is looked at, with what was done."""
    asked = [f"days={days}"] if days != USUAL_DAYS else []
    asked += [f"said={said}"] if said else []
    return "/shopping" + (f"?{'&'.join(asked)}" if asked else "")


@router.post("/shopping/lines")
def add(
    request: Request, context: OnceDep, household: HouseholdDep, form: Annotated[LinesForm, Form()]
) -> Response:
    """Write lines on the list, all or none; what cannot be kept is asked again with all of it there."""
    try:
        shopping_lines.add(context, household, form.lines, form.days)
    except Repeated:
        pass
    except (Malformed, NotEditable) as error:
        return _asked_again(request, context, household, form, error)
    return see(address(form.days, "written-down"))


def _asked_again(
    request: Request, context: Context, household: str, form: LinesForm, error: SteadingError
) -> Response:
    problem = of_error(error)

    def view(where: Situation) -> View:
        values = _values(service.shopping_in(where, form.days))
        return "kitchen/shopping.html", values | {"typed": form.lines, "fault": problem.detail}

    return show(request, context, household, view, problem.status)


@router.post("/shopping/clear")
def clear(context: ContextDep, household: HouseholdDep, form: Annotated[ClearForm, Form()]) -> Response:
    """Take the ticked lines off that were looked at."""
    shopping_lines.clear(context, household, form.line, form.days)
    return see(address(form.days, "cleared"))
