"""A story played by the clock: every tap goes through the use cases at its own instant."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, cast

from coach.ground.ports import Context
from coach.habits import steps
from coach.habits.day import today
from coach.household import data, settings, start
from coach.store.memory import MemoryStore
from habits import marking
from habits.house import HOME, Shelf

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.habits.answers import MarkName
    from golden.story import Story, Tap


def _start(context: Context, tap: Tap) -> None:
    zone, day_starts = tap.value.split()
    start.start(context, HOME, tap.step, zone, day_starts)


def _mark(context: Context, tap: Tap) -> None:
    """Mark a line of the day that is today's at this instant."""
    day = today(context, HOME)
    marking.mark(context, HOME, day.date, tap.step, cast("MarkName", tap.what))


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
    "pace": lambda context, tap: settings.change(context, HOME, pace=tap.value),
    "day-starts": lambda context, tap: settings.change(context, HOME, day_starts=tap.value),
}


def played(story: Story) -> str:
    """The log, as CSV, of a household that taps what the story says, when it says so."""
    store, library = MemoryStore(), Shelf(story.course)
    clock = [story.taps()[0].at]
    context = Context(store, library, lambda: clock[0])
    for tap in story.taps():
        clock[0] = tap.at
        DOING[tap.what](context, tap)
    return data.export(context, HOME)
