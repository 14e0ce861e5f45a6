"""A story played by the clock: every tap goes through the services at its own instant."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from coach.services import data, marks, settings, start, steps, today
from coach.services.ports import Context
from coach.store.memory import MemoryStore

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from coach.course.model import Caution, Course, Step
    from coach.course.reader import TextFile
    from coach.services.results import MarkName
    from golden.story import Story, Tap

HOME = "home"


@dataclass(frozen=True, slots=True)
class OneCourse:
    """A library of a single course, with nothing beside it."""

    held: Course

    def course(self, _name: str) -> Course:
        return self.held

    def catalogue(self) -> Mapping[str, Step]:
        return {}

    def texts(self) -> Sequence[TextFile]:
        return ()

    def digest(self) -> str:
        return self.held.digest

    def cautions(self) -> Mapping[str, Caution]:
        return {}


def _start(context: Context, tap: Tap) -> None:
    zone, day_starts = tap.value.split()
    start.start(context, HOME, tap.step, zone, day_starts)


def _mark(context: Context, tap: Tap) -> None:
    """Mark a line of the day that is today's at this instant."""
    day = today.today(context, HOME)
    marks.mark(context, HOME, day.date, tap.step, cast("MarkName", tap.what))


def _add(context: Context, tap: Tap) -> None:
    steps.add(context, HOME, tap.step, json.loads(tap.value))


DOING: dict[str, Callable[[Context, Tap], object]] = {
    "start": _start,
    "kept": _mark,
    "small": _mark,
    "missed": _mark,
    "excused": _mark,
    "add": _add,
    "zone": lambda context, tap: settings.change(context, HOME, zone=tap.value),
    "day-starts": lambda context, tap: settings.change(context, HOME, day_starts=tap.value),
}


def played(story: Story) -> str:
    """The log, as CSV, of a household that taps what the story says, when it says so."""
    store, library = MemoryStore(), OneCourse(story.course)
    for tap in story.taps():
        DOING[tap.what](Context(store, library, lambda at=tap.at: at), tap)  # type: ignore[misc]
    return data.export(Context(store, library, lambda: story.taps()[-1].at), HOME)
