"""Only a few today: which lines stay, which are left out and which can wait, out of a situation.

What was left out is remembered in the plan under the day's date, so that it alone is brought back.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from coach.course.recurrence import falls, is_by_days, next_fall
from coach.course.shapes import shape
from coach.errors import Malformed
from coach.habits.note_words import empty_text, few_text, taken_text
from coach.habits.notes import EmptyDay, Few, NamedStep, WaitingLine
from coach.progress.days import following, preceding
from coach.progress.log import Mark
from coach.progress.opening import Phase
from coach.progress.returning import DECIMALS

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from datetime import date

    from coach.ground.plan_rows import PlanRow
    from coach.ground.situation import Situation
    from coach.progress.standing import Standing, StepStanding

FEW = "few"
"""The kind of the plan that holds what was left out on a date."""
STAY = 3
"""How many daily lines stay."""
EMPTY_DAYS = 2
"""After so many empty days it stands open."""
_IDS = shape([str])


@dataclass(frozen=True, slots=True)
class Choice:
    """What becomes of the lines that are not marked yet.

    Attributes:
        stay: Daily lines that stay, the strongest first.
        excused: Lines that would be over tonight, and are left out.
        wait: Lines that can be done on a later day, and are left as they are.
    """

    stay: tuple[StepStanding, ...]
    excused: tuple[StepStanding, ...]
    wait: tuple[StepStanding, ...]


def choice(where: Situation, shown: Collection[str] = ()) -> Choice | None:
    """What is left out of today's open lines; None where there is nothing to leave out.

    Args:
        where: The situation.
        shown: The steps that stay as a page has shown them, which other phones may have marked meanwhile;
            the three strongest if none are named.
    """
    standing = where.standing
    if standing.on != where.today or standing.phase in {Phase.PAUSED, Phase.LAPSED}:
        return None
    unmarked = [standing.steps[name] for name in standing.checklist if name not in standing.marks]
    daily = _strongest_first(standing, [place for place in unmarked if is_by_days(place.step.repeats)])
    named = [name for name in shown if name in standing.checklist]
    if len(daily) <= STAY and not named:
        return None
    stay = [place for place in daily if place.step.id in named] if named else daily[:STAY]
    tomorrow = following(standing.on, standing.zone)
    staying = {place.step.id for place in stay}
    others = [place for place in unmarked if place.step.id not in staying]
    over = [_is_over_tonight(place, tomorrow) for place in others]
    excused = tuple(place for place, is_over in zip(others, over, strict=True) if is_over)
    wait = tuple(place for place, is_over in zip(others, over, strict=True) if not is_over)
    return Choice(tuple(stay), excused, wait) if excused else None


def _strongest_first(standing: Standing, places: Sequence[StepStanding]) -> list[StepStanding]:
    """By strength, compared at 9 decimals; of equal ones in course order."""
    order = {step_id: number for number, step_id in enumerate(standing.steps)}
    return sorted(places, key=lambda place: (-round(place.strength, DECIMALS), order[place.step.id]))


def _is_over_tonight(place: StepStanding, tomorrow: date) -> bool:
    """Whether an unmarked line would close tonight, as its step falls again tomorrow (rules §5.8)."""
    return place.introduced_on is not None and falls(place.step.repeats, place.introduced_on, tomorrow)


def _waiting(standing: Standing, place: StepStanding) -> WaitingLine:
    """A line with the last day on which it is open."""
    begun = place.introduced_on
    again = None if begun is None else next_fall(place.step.repeats, begun, standing.on)
    until = None if again is None else preceding(again, standing.zone)
    return WaitingLine(place.step.id, place.step.title, until)


def taken_in(where: Situation) -> tuple[str, ...]:
    """The steps it has marked excused today that still are; the plan is read only if some step is."""
    marks = where.opening.marks
    if Mark.EXCUSED not in marks.values():
        return ()
    kept = where.plan.read_one(FEW, where.opening.date.isoformat(), _ids) or ()
    return tuple(step for step in map(where.state.present, kept) if marks.get(step) is Mark.EXCUSED)


def _ids(_key: str, value: Any) -> tuple[str, ...]:  # noqa: ANN401  as it comes out of JSON
    if not _IDS(value):
        raise Malformed("A list of step ids was expected.")
    return tuple(value)


def remembered_rows(where: Situation, steps: Sequence[str]) -> list[PlanRow]:
    """The row that remembers what was left out today; without steps it goes."""
    return [where.row(FEW, where.today.isoformat(), list(steps) or None)]


def forgotten_rows(where: Situation, steps: Collection[str]) -> list[PlanRow]:
    """What is written when marks of steps are changed by hand: they are no longer what was left out."""
    marks = where.opening.marks
    if where.opening.date != where.today or not any(marks.get(step) is Mark.EXCUSED for step in steps):
        return []
    taken = taken_in(where)
    left = [step for step in taken if step not in steps]
    return remembered_rows(where, left) if len(left) < len(taken) else []


def few_in(where: Situation) -> Few | None:
    """What today's page offers, or that it was taken; None where there is nothing to leave out."""
    standing = where.standing
    opens = where.state.empty_run >= EMPTY_DAYS
    if taken := [step for step in taken_in(where) if step in standing.checklist]:
        left = tuple(_named(standing.steps[step]) for step in taken)
        stay = [standing.steps[name] for name in standing.checklist if name not in standing.marks]
        return Few(
            taken=True,
            open=opens,
            stay=tuple(map(_named, stay)),
            excused=left,
            wait=(),
            text=taken_text(left),
        )
    chosen = choice(where)
    if chosen is None:
        return None
    stays, left = tuple(map(_named, chosen.stay)), tuple(map(_named, chosen.excused))
    wait = tuple(_waiting(standing, place) for place in chosen.wait)
    return Few(
        taken=False,
        open=opens,
        stay=stays,
        excused=left,
        wait=wait,
        text=few_text(where.today, stays, left, wait),
    )


def _named(place: StepStanding) -> NamedStep:
    return NamedStep(place.step.id, place.step.title)


def empty_in(where: Situation) -> EmptyDay | None:
    """That the household day before was empty: something was due, nothing was marked, and nobody was away.

    On a lapsed day and on a return the way back is what is said.
    """
    state, standing = where.state, where.standing
    before = state.yesterday
    if standing.comeback is not None or standing.phase is Phase.PAUSED or before.paused or before.lapsed:
        return None
    if not (state.empty_run and state.gap and before.had_checklist):
        return None
    day, several = preceding(standing.on, standing.zone), state.empty_run >= EMPTY_DAYS
    return EmptyDay(day, several, empty_text(day, standing.on, several=several))
