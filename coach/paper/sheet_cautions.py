"""The cautions of a week sheet's back page, each once with what it stands beside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.areas.lists import lists_in
from coach.ground.cautions import caution_view
from coach.paper.answers import SheetCaution

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from coach.ground.situation import Situation
    from coach.paper.answers import SheetJob, SheetLine


def cautions_in(
    where: Situation, first: date, steps: Sequence[SheetLine | SheetJob]
) -> tuple[SheetCaution, ...]:
    """The cautions of lines and jobs, and of the tasks of the areas in the week that begins on a date."""
    beside: dict[str, dict[str, None]] = {}
    for key, title in (*_of_steps(where, steps), *_of_tasks(where, first)):
        if key:
            beside.setdefault(key, {})[title] = None
    found = ((caution_view(where.context.library, key), titles) for key, titles in beside.items())
    return tuple(SheetCaution(view, tuple(titles)) for view, titles in found if view is not None)


def _of_steps(where: Situation, steps: Sequence[SheetLine | SheetJob]) -> Iterator[tuple[str | None, str]]:
    for one in steps:
        record = where.state.known(one.step)
        if record is not None:
            yield record.step.caution, one.title


def _of_tasks(where: Situation, first: date) -> Iterator[tuple[str | None, str]]:
    lists = lists_in(where, first)
    for _, area in lists.areas if lists else ():
        for left in area.listed:
            yield left.task.caution, left.task.title
