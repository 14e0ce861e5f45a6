"""`/sheet`: a week on one sheet of paper as it will print, and what the household wants on it."""

from contextlib import suppress
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import Field

from coach.errors import Malformed, NotEditable, SteadingError
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.paper import choices as choosing
from coach.paper import sheet as service
from coach.paper.answers import BoxName, Sheet, SheetChoices
from coach.paper.fits import fit_of
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.seen import Clash, Fields, SeenForm, Shown, Values, put, seen_text
from coach.web.pages.ways import see, words
from coach.web.printing import Format, as_pdf
from coach.web.showing import View, show, show_kept

router = APIRouter(prefix="/sheet")

Named = Annotated[str, Path(max_length=20)]

PAPERS = {"a4": "A4", "letter": "Letter"}
PIECES = {
    "minutes": "Minutes",
    "cues": "Cues of the daily lines",
    "job-lines": "Lines of the jobs",
    "area": "This week’s area",  # noqa: RUF001  the sign for an apostrophe
    "dinners": "Dinners",
    "dues": "Dues",
    "errands": "Errands",
    "writing": "Lines to write on",
    "names": "Who lives there",
}
"""What can be left off, as the page calls it."""
LABELS = {"paper": "Paper", "across": "Which way", "back": "Back page", **PIECES}
INSTEAD = (
    "On the page of the sheet choose what to leave off, upright paper, or a back page for the jobs’ lines."  # noqa: RUF001
)
YES, NO = "yes", "no"


class ChoicesForm(SeenForm):
    """How the sheet is wanted; `week` is the name of the week to go back to."""

    week: Annotated[str, Field(max_length=20)] = ""
    paper: str = "a4"
    across: str = NO
    back: str = NO
    left_off: list[str] = Field(default_factory=list)


def _values(
    where: Situation,
    week: str | None,
    said: str | None = None,
    typed: Shown[ChoicesForm] | None = None,
) -> dict[str, object]:
    found = service.sheet_in(where, week)
    fit = fit_of(found)
    return {
        "whole": found,
        "sheet": service.as_chosen(found),
        "fit": fit,
        "form": typed or _as_it_is(found.choices),
        "said": said,
        "kinds": _kinds(found),
        "papers": PAPERS,
        "pieces": PIECES,
    }


def _kinds(sheet: Sheet) -> list[BoxName]:
    """The marks that stand in some box, in the order in which pages name them."""
    there = {box for line in sheet.lines for box in line.boxes} | {job.box for job in sheet.jobs}
    marks: tuple[BoxName, ...] = ("kept", "small", "excused", "missed")
    return [kind for kind in marks if kind in there]


def _as_it_is(choices: SheetChoices) -> Shown[ChoicesForm]:
    form = ChoicesForm(
        paper=choices.paper,
        across=YES if choices.across else NO,
        back=YES if choices.back else NO,
        left_off=list(choices.left_off),
    )
    return Shown(form, seen_text(_texts(form)))


def _texts(form: ChoicesForm) -> Values:
    """The choices by name: what is left off, each by itself, so that two people can each choose one."""
    pieces = {piece: YES if piece in form.left_off else NO for piece in PIECES}
    return {"paper": form.paper, "across": form.across, "back": form.back, **pieces}


def _form_of(values: Values) -> ChoicesForm:
    left_off = [piece for piece in PIECES if values.get(piece) == YES]
    return ChoicesForm(paper=values["paper"], across=values["across"], back=values["back"], left_off=left_off)


def _sheet(
    request: Request, context: Context, household: str, week: str | None, said: str | None
) -> Response:
    text = words(said)

    def view(where: Situation) -> View:
        return "paper/sheet.html", _values(where, week, text)

    if text is not None:
        return show(request, context, household, view)
    return show_kept(request, context, household, ("sheet", week), view)


def _as_pdf(context: Context, household: str, week: str | None) -> Response:
    found = service.sheet(context, household, week)
    return as_pdf("sheet", found, f"week-{found.week}", INSTEAD)


@router.get("")
def sheet(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    said: str | None = None,
    format: Format = None,  # noqa: A002  the name in the address
) -> Response:
    """This week's sheet."""
    if format is not None:
        return _as_pdf(context, household, None)
    return _sheet(request, context, household, None, said)


@router.get("/{week}")
def sheet_named(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    week: Named,
    said: str | None = None,
    format: Format = None,  # noqa: A002  the name in the address
) -> Response:
    """A week's sheet by the week's name."""
    if format is not None:
        return _as_pdf(context, household, week)
    return _sheet(request, context, household, week, said)


@router.post("/choices")
def choose(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[ChoicesForm, Form()]
) -> Response:
    """Say how the sheet is wanted."""
    week = form.week or None

    def write(guarded: Context, values: Values) -> None:
        choosing.choose(guarded, household, _chosen(_form_of(values)))

    try:
        _chosen(form)
        put(context, household, form, _texts(form), CHOICES, write)
    except Clash as clash:
        typed = clash.shown(_form_of(clash.merged))
    except (Malformed, NotEditable) as error:
        typed = Shown(form, form.seen, trouble=str(error), status=422)
    else:
        return see(address(week), "saved")
    return _as_typed(request, context, household, week, typed)


def _as_typed(
    request: Request, context: Context, household: str, week: str | None, typed: Shown[ChoicesForm]
) -> Response:
    """The sheet with the choices as they were sent, and what speaks against them."""

    def view(where: Situation) -> View:
        # A week that the form names may be none at all.
        with suppress(SteadingError):
            return "paper/sheet.html", _values(where, week, typed=typed)
        return "paper/sheet.html", _values(where, None, typed=typed)

    return show(request, context, household, view, typed.status)


def _chosen(form: ChoicesForm) -> SheetChoices:
    """The choices of a form.

    Raises:
        Malformed: One is none that is offered.
    """
    return choosing.chosen(form.paper, form.left_off, across=form.across == YES, back=form.back == YES)


CHOICES = Fields(
    lambda where: _texts(_as_it_is(choosing.choices_in(where)).form),
    LABELS.__getitem__,
    lambda name, text: PAPERS[text] if name == "paper" else text,
)


def address(week: str | None) -> str:
    """Where a week's sheet is looked at."""
    return f"/sheet/{week}" if week else "/sheet"
