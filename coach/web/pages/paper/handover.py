"""`/handover`: the household's pages, for whom they are, and all of it joined for some dates."""

from dataclasses import dataclass, field
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Request, Response

from coach.areas.overview import all_areas_in, floor_of
from coach.ground.faults import Unfit
from coach.ground.situation import Situation, looking
from coach.paper import handover as service
from coach.paper.handover import USUAL_PARTS, Wanted, typed_dates
from coach.paper.handover_answers import ForName, Handover, PartName
from coach.paper.pages import pages_in
from coach.paper.starters import starters_left
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.paper.handover_forms import WHOM_WORDS, list_values
from coach.web.pages.ways import words
from coach.web.printing import Format, as_pdf
from coach.web.rendering import is_partial
from coach.web.showing import View, show

router = APIRouter(prefix="/handover")

UNFIT = 422

Typed = Annotated[str, Query(max_length=100)]
First = Annotated[str, Query(alias="from", max_length=100)]
Search = Annotated[str, Query(max_length=400)]

PART_WORDS: dict[PartName, str] = {
    "day": "The list of the day",
    "jobs": "Jobs by day",
    "dinners": "Dinner, and what has to thaw",
    "dues": "What is due",
    "areas": "The home and its rooms",
}
"""What of the records can go along, as one chooses it."""


@dataclass
class Asked:
    """A handover as it was asked for.

    Attributes:
        first: The first date as typed, `last` the last one.
        chosen: What was chosen to go along; None for what is usual.
        as_pdf: Whether it is wanted as PDF.
        faults: What is wrong with the dates, by field, once the page was made.
    """

    whom: ForName
    first: str
    last: str
    chosen: tuple[PartName, ...] | None
    as_pdf: bool = False
    faults: dict[str, str] = field(default_factory=dict)

    def found(self, where: Situation) -> Handover:
        """The joined handover, of the usual dates where those that are asked for cannot be used."""
        try:
            first, last = typed_dates(self.first, self.last)
            return service.handover_in(where, Wanted(self.whom, first, last, self.chosen))
        except Unfit as error:
            self.faults = {fault.field: fault.reason for fault in reversed(error.faults)}
            return service.handover_in(where, Wanted(self.whom, parts=self.chosen))

    def view(self, where: Situation) -> View:
        """The page."""
        found = self.found(where)
        return "paper/handover_joined.html", {
            "found": found,
            "first": self.first or found.from_date.isoformat(),
            "last": self.last or found.until.isoformat(),
            "faults": self.faults,
            "pdf": self._pdf(found),
            "parts": PART_WORDS,
            "chosen": USUAL_PARTS[self.whom] if self.chosen is None else self.chosen,
            "whom_words": WHOM_WORDS,
            **_plan(where, found),
        }

    def _pdf(self, found: Handover) -> str:
        """The address of the same as PDF."""
        asked = [("whom", found.whom), ("from", f"{found.from_date}"), ("until", f"{found.until}")]
        if self.chosen is not None:
            asked += [("chosen", "true"), *(("part", part) for part in self.chosen)]
        return "/handover?" + urlencode([*asked, ("format", "pdf")])


async def _asked(
    whom: ForName | None = None,
    first: First = "",
    until: Typed = "",
    part: Annotated[list[PartName] | None, Query()] = None,
    *,
    chosen: bool = False,
    format: Format = None,  # noqa: A002  its name in the address
) -> Asked | None:
    if whom is None:
        return None
    return Asked(whom, first, until, tuple(part or ()) if chosen or part else None, as_pdf=bool(format))


AskedDep = Annotated[Asked | None, Depends(_asked)]


@router.get("")
def handover(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    asked: AskedDep,
    q: Search = "",
    said: str | None = None,
) -> Response:
    """All that somebody needs for some dates; without a word for whom, the pages and the choice."""
    if asked is None:
        view = _list if is_partial(request) else _overview
        return show(request, context, household, lambda where: view(where, q, words(said)))
    if asked.as_pdf:
        with looking(context, household) as where:
            found = asked.found(where)
        if not asked.faults:
            return as_pdf("handover", found, f"handover-{found.whom}-{found.from_date}")
    answer = show(request, context, household, asked.view)
    if asked.faults:
        answer.status_code = UNFIT
    return answer


def _overview(where: Situation, looked_for: str, said: str | None) -> View:
    kept = pages_in(where).pages
    counts = {whom: sum(whom in one.whom for one in kept) for whom in WHOM_WORDS}
    return "paper/handover.html", {
        **list_values(where, looked_for),
        "kept": kept,
        "counts": counts,
        "starters": starters_left(where.context.library, kept),
        "said": said,
    }


def _list(where: Situation, looked_for: str, _said: str | None) -> View:
    return "paper/parts/handover_list.html", list_values(where, looked_for)


def _plan(where: Situation, found: Handover) -> dict[str, object]:
    """The plan of the home, where its areas go along."""
    if not any(section.key == "areas" for section in found.sections):
        return {"floor": None, "areas": None}
    areas = all_areas_in(where)
    return {"floor": floor_of(areas), "areas": areas}
