"""The handover: the household's own pages for somebody, joined with what its records know of some dates."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from coach.errors import Malformed
from coach.ground.faults import FieldFault, Unfit
from coach.ground.plan_rows import Asked
from coach.ground.situation import looking
from coach.ground.wording import full_date, short_date, whole_date
from coach.paper.choices import SHEET, choices_in
from coach.paper.handover_answers import Handover, PartName
from coach.paper.handover_parts import areas_in, day_in, dinners_in, dues_in, jobs_in, parts_needed
from coach.paper.pages import needed, pages_in
from coach.progress.days import ONE_DAY, iso_date

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.paper.answers import PaperName
    from coach.paper.handover_answers import ForName, HandoverSection
    from coach.paper.handover_parts import Span

MOST_DAYS = 31
"""How many dates one handover may cover."""

FURTHEST = timedelta(days=366)
"""How far ahead a handover may begin."""

TITLES: dict[ForName, str] = {
    "sitter": "For the sitter",
    "guest": "For our guest",
    "stand-in": "For whoever stands in",
    "emergency": "In an emergency",
}
"""What stands at the head, by whom it is for."""

USUAL_PARTS: dict[ForName, tuple[PartName, ...]] = {
    "sitter": ("day", "jobs", "dinners", "dues"),
    "guest": ("dinners", "areas"),
    "stand-in": ("day", "jobs", "dinners", "dues", "areas"),
    "emergency": ("areas",),
}
"""What of the records goes along unless somebody chooses otherwise, by whom it is for."""

USUAL_DAYS: dict[ForName, int] = {"sitter": 1, "guest": 7, "stand-in": 7, "emergency": 1}
"""How many dates are covered unless somebody chooses otherwise, by whom it is for."""

_PARTS: dict[PartName, Callable[[Situation, Span], HandoverSection]] = {
    "day": day_in,
    "jobs": jobs_in,
    "dinners": dinners_in,
    "dues": dues_in,
    "areas": areas_in,
}
PARTS: tuple[PartName, ...] = tuple(_PARTS)
"""The parts in their order."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a handover is asked for.

    Attributes:
        first: The first date; none for today.
        last: The last one; none for as many as are usual for whom it is for.
        parts: What of the records goes along; none for what is usual.
        paper: What it is printed on; none for what the week sheet is printed on.
    """

    whom: ForName
    first: date | None = None
    last: date | None = None
    parts: tuple[PartName, ...] | None = None
    paper: PaperName | None = None


def typed_dates(first: str, last: str) -> tuple[date | None, date | None]:
    """Two dates as they were typed; none where nothing was.

    Raises:
        Unfit: One of them cannot be read.
    """
    faults: list[FieldFault] = []
    found = [_typed(field, text.strip(), faults) for field, text in (("from", first), ("until", last))]
    if faults:
        raise Unfit(faults)
    return found[0], found[1]


def _typed(field: str, text: str, faults: list[FieldFault]) -> date | None:
    try:
        return iso_date(text) if text else None
    except Malformed as error:
        faults.append(FieldFault(field, str(error)))
        return None


def handover(context: Context, household: str, wanted: Wanted) -> Handover:
    """What somebody else needs to run this home.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unfit: The dates cannot be used.
    """
    with looking(context, household) as where:
        return handover_in(where, wanted)


def handover_in(where: Situation, wanted: Wanted) -> Handover:
    """The same out of a situation; the errors are those of `handover`."""
    first, last = dates_of(where.today, wanted)
    where.plan.fetch([*needed(), Asked(SHEET), *parts_needed(where, first, last)])
    own = (page for page in pages_in(where).pages if wanted.whom in page.whom)
    return Handover(
        whom=wanted.whom,
        title=TITLES[wanted.whom],
        dates=dates_text(first, last),
        from_date=first,
        until=last,
        pages=tuple(own),
        sections=tuple(_sections(where, wanted, (first, last))),
        paper=wanted.paper or choices_in(where).paper,
    )


def _sections(where: Situation, wanted: Wanted, dates: tuple[date, date]) -> Iterator[HandoverSection]:
    """The parts that are wanted and hold anything."""
    chosen = USUAL_PARTS[wanted.whom] if wanted.parts is None else wanted.parts
    span = (wanted.whom, *dates)
    found = (section(where, span) for part, section in _PARTS.items() if part in chosen)
    yield from (section for section in found if section.lines)


def dates_of(today: date, wanted: Wanted) -> tuple[date, date]:
    """The first and the last date of a handover.

    Raises:
        Unfit: They cannot be used.
    """
    first = wanted.first or today
    faults = list(_first_faults(first, today))
    last = wanted.last
    if last is None and not faults:
        last = first + (USUAL_DAYS[wanted.whom] - 1) * ONE_DAY
    if last is not None and not faults:
        faults += _last_faults(first, last)
    if faults or last is None:
        raise Unfit(faults)
    return first, last


def _first_faults(first: date, today: date) -> Iterable[FieldFault]:
    if first < today:
        yield FieldFault("from", f"{full_date(first)} is over. Choose today or a later date.")
    elif first - today > FURTHEST:
        reason = f"{full_date(first)} is more than a year ahead. Choose an earlier date."
        yield FieldFault("from", reason)


def _last_faults(first: date, last: date) -> Iterable[FieldFault]:
    if last < first:
        reason = f"{full_date(last)} comes before {full_date(first)}. Choose that date or a later one."
        yield FieldFault("until", reason)
    elif (last - first).days >= MOST_DAYS:
        has = f"These are {(last - first).days + 1:,} dates, and {MOST_DAYS} is the most."
        yield FieldFault("until", f"{has} Choose an earlier one.")


def dates_text(first: date, last: date) -> str:
    """The dates a handover covers, in words."""
    if first == last:
        return whole_date(first)
    begins = whole_date(first) if first.year != last.year else f"{first:%A} {short_date(first)}"
    return f"{begins} to {whole_date(last)}"
