"""What if: the dates at a gentler pace, with two steps fewer or one weekday off, beside the present ones.

Each change is tried from today on and nothing is written. All are followed with the same seed, so that what
they differ by is the change and little of the chance.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.course.direction import isolated
from coach.course.placeholders import settling_words
from coach.habits.forecast_answers import Change, Choice, WhatIf
from coach.habits.forecasting import asked_in, later_in, worked_out
from coach.habits.wording import joined
from coach.progress.log import Row, What
from coach.progress.replay import open_on
from coach.progress.unlocking import left_to_settle

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.habits.forecast_answers import ChangeName
    from coach.habits.forecasting import Asked
    from coach.pace.evidence import Evidence
    from coach.pace.forecast import Household

FEWER = 2
"""So many of the last waiting steps are left out."""
_AHEAD = 366
_NUMBERS = {1: "One step", 2: "Two steps"}
_WEEK = 7


@dataclass(frozen=True, slots=True)
class _Tried:
    """A change as it is tried: what is said of it, and where the household then stands."""

    change: ChangeName
    title: str
    means: str
    choices: tuple[Choice, ...]
    home: Household


def what_if(context: Context, household: str) -> WhatIf:
    """The present dates and those of each change there is room for.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    return worked_out(context, household, "what-if", _question)


def what_if_in(where: Situation) -> Callable[[], WhatIf]:
    """The same out of a situation; to be called once its transaction has ended."""
    return later_in(where, "what-if", _question)


def _question(where: Situation) -> Callable[[], WhatIf]:
    asked = asked_in(where)
    tried = tuple(_tried(where, asked))
    return lambda: _answered(asked, tried)


def _answered(asked: Asked, tried: Sequence[_Tried]) -> WhatIf:
    present = asked.span(asked.home)
    if present.cannot_say not in {None, "too-far"}:
        return WhatIf(asked.on, present, ())
    changes = tuple(
        Change(one.change, one.title, one.means, asked.span(one.home), one.choices) for one in tried
    )
    return WhatIf(asked.on, present, changes)


def _tried(where: Situation, asked: Asked) -> Iterator[_Tried]:
    if asked.before is not None:
        yield from _gentler(where, asked)
        yield from _fewer(where, asked)
        yield from _day_off(where, asked)


def _gentler(where: Situation, asked: Asked) -> Iterator[_Tried]:
    """The next gentler pace of the course, if it has one."""
    course = where.state.course
    now = course.paces.get(where.state.pace, 0)
    slower = {added: name for name, added in course.paces.items() if added > now}
    if slower:
        name = slower[min(slower)]
        yield _Tried(
            "gentler",
            f"At the {isolated(name)} pace",
            f"{settling_words(course)[name]} What has settled stays settled.",
            (Choice("Choose the pace in the settings", "settings"),),
            _opened_with(where, asked, [Row(where.today, What.PACE, value=name)]),
        )


def _fewer(where: Situation, asked: Asked) -> Iterator[_Tried]:
    """Without the last two waiting steps that have not come; or one, if there is no other."""
    left, records = left_to_settle(where.state), where.state.records
    ahead = [step for step in left if records[step].introduced is None][-FEWER:]
    if ahead and len(ahead) < len(left):
        titles = [isolated(records[step].step.title) for step in ahead]
        yield _Tried(
            "fewer",
            f"{_NUMBERS[len(ahead)]} fewer",
            f"Set aside from today on: {joined(titles, 'and')}. What is set aside can be brought back.",
            tuple(Choice(title, "step", step) for title, step in zip(titles, ahead, strict=True)),
            _opened_with(where, asked, [Row(where.today, What.SET_ASIDE, step) for step in ahead]),
        )


def _day_off(where: Situation, asked: Asked) -> Iterator[_Tried]:
    """With nothing due on the weekday on which least was kept, if on any of them something was missed."""
    found = _least_kept(asked.home.evidence)
    if found is None:
        return
    weekday, kept, outcomes = found
    days = (where.today + timedelta(days=ahead) for ahead in range(1, _AHEAD))
    off = [day for day in days if day.weekday() == weekday and where.pause_on(day) is None]
    rows = [Row(day, What.PAUSE, value=day.isoformat()) for day in off]
    name = f"{where.today + timedelta(days=(weekday - where.today.weekday()) % _WEEK):%A}s"
    yield _Tried(
        "day-off",
        f"{name} off",
        f"{name} go by as days of a pause, from the next one on: nothing is due. So far {kept} of "
        f"{outcomes} lines were kept on them, the smallest share of any weekday.",
        (Choice("Choose the days of each step on its page", "path"),),
        replace(asked.home, book=where.book.with_rows(rows)),
    )


def _least_kept(evidence: Evidence) -> tuple[int, int, int] | None:
    """The weekday with the smallest share kept, with the lines kept on it, of how many; None if all were."""
    kept, outcomes = [0] * _WEEK, [0] * _WEEK
    for day in evidence.told:
        kept[day.date.weekday()] += sum(day.kept)
        outcomes[day.date.weekday()] += sum(day.outcomes)
    seen = [weekday for weekday in range(_WEEK) if kept[weekday] < outcomes[weekday]]
    if not seen:
        return None
    least = min(seen, key=lambda weekday: kept[weekday] / outcomes[weekday])
    return least, kept[least], outcomes[least]


def _opened_with(where: Situation, asked: Asked, rows: Sequence[Row]) -> Household:
    """The household on today as it would open with rows written for it."""
    if asked.before is None:
        raise ValueError(rows)
    state, book = asked.before.copy(), where.book.with_rows(rows)
    opening = open_on(state, book, where.today)
    return replace(asked.home, state=state, opening=opening, book=book)
