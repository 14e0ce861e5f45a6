"""A day in its parts, morning, anytime and evening: which one is on, and what each holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.course.recurrence import is_most_days
from coach.habits.answers import DayInParts, DayPart
from coach.habits.day import day_view
from coach.habits.hours import LOOKED_BACK, SLOTS, present_part, usual_moments
from coach.habits.signatures import is_several
from coach.habits.wording import marks_text
from coach.progress.days import place_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from coach.ground.situation import Situation
    from coach.habits.answers import Day
    from coach.habits.notes import SlotName


def daily_lines(where: Situation) -> frozenset[str]:
    """The steps of the day's list that come on most days of a week."""
    steps = where.standing.steps
    return frozenset(step for step in where.standing.checklist if is_most_days(steps[step].step.repeats))


def day_in_parts(where: Situation) -> DayInParts:
    """The day of a situation with its parts; of the current one with the part that is on."""
    parts = parts_view(where)
    return replace(parts, present=_open(parts, present_in(where)) if parts.day.today else None)


def parts_view(where: Situation) -> DayInParts:
    """The same without looking at the clock: no part is the one that is on."""
    day, daily = day_view(where), daily_lines(where)
    parts = (_part(day, slot, daily) for slot in SLOTS)
    return DayInParts(day, tuple(part for part in parts if part.lines), None, is_several(where))


def _part(day: Day, slot: SlotName, daily: frozenset[str]) -> DayPart:
    lines = tuple(line for line in day.checklist if line.slot == slot)
    to_do = tuple(line for line in lines if line.mark is None)
    marked = tuple(line for line in lines if line.mark is not None)
    return DayPart(
        slot=slot,
        lines=lines,
        to_do=to_do,
        marked=marked,
        marked_text=marks_text(marked),
        minutes=sum(line.minutes for line in to_do),
        together=tuple(line.step for line in to_do if line.step in daily),
    )


def _open(found: DayInParts, present: SlotName) -> SlotName | None:
    """The part that is on, or the next one with something to do; none once everything is marked."""
    to_do = {part.slot for part in found.parts if part.to_do}
    first = SLOTS.index(present)
    return next((slot for slot in (*SLOTS[first:], *SLOTS[:first]) if slot in to_do), None)


def present_in(where: Situation) -> SlotName:
    """The part of the day that is on in a household."""
    now = where.context.clock().astimezone(place_of(where.home.zone))
    return present_part(now, where.home.day_starts, usual_hours(where))


def usual_hours(where: Situation) -> Mapping[SlotName, int]:
    """Minutes into the day at which the household usually marks a part's lines, by the two weeks gone by.

    They are worked out once a day and kept in memory, so that a page reads nothing for them but the first.
    """
    home = where.home
    holds_for = (where.today, home.zone, home.day_starts)
    return where.context.memo.get(
        ("usual-hours", home.id), holds_for, lambda: usual_moments(_marked_on_their_day(where))
    )


def _marked_on_their_day(where: Situation) -> Iterator[tuple[SlotName, int]]:
    """The marks written on the day they are about: what is filled in later says nothing of the hour."""
    home, standing = where.home, where.standing
    zone = place_of(home.zone)
    begins = timedelta(hours=home.day_starts.hour, minutes=home.day_starts.minute)
    for marked in where.reading.marked_at(where.today - LOOKED_BACK):
        into = marked.at.astimezone(zone).replace(tzinfo=None) - begins
        place = standing.place(marked.step)
        if place is not None and into.date() == marked.date < where.today:
            yield place.step.slot.value, into.hour * 60 + into.minute
