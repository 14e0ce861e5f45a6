"""The cautions of a week sheet's back page, each once with what it stands beside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.ground.cautions import caution_view
from coach.paper.answers import SheetCaution

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from coach.areas.lists import AreaLists
    from coach.ground.situation import Situation
    from coach.paper.answers import SheetJob, SheetLine


def cautions_in(
    where: Situation, steps: Sequence[SheetLine | SheetJob], lists: AreaLists | None
) -> tuple[SheetCaution, ...]:
    """The cautions of lines and jobs, and of the tasks on the lists of the week's areas."""
    beside: dict[str, dict[str, None]] = {}
    for key, title in (*_of_steps(where, steps), *_of_tasks(lists)):
        if key:
            beside.setdefault(key, {})[title] = None
    found = ((caution_view(where.context.library, key), titles) for key, titles in beside.items())
    return tuple(SheetCaution(view, tuple(titles)) for view, titles in found if view is not None)


def _of_steps(where: Situation, steps: Sequence[SheetLine | SheetJob]) -> Iterator[tuple[str | None, str]]:
    for one in steps:
        record = where.state.known(one.step)
        if record is not None:
            yield record.step.caution, one.title


def _of_tasks(lists: AreaLists | None) -> Iterator[tuple[str | None, str]]:
    for _, area in lists.areas if lists else ():
        for left in area.listed:
            yield left.task.caution, left.task.title
