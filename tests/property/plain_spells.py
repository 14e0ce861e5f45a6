"""A second, literal reading of groups' spells, over the second reading of the rules, to compare ours with.

A spell begins when a step of the course is introduced. It ends by the first of: the household's lapse begins,
the step is set aside, it settles; those that a lapse ended are `left` once 28 days passed without a mark.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from property.second_reading import Household

if TYPE_CHECKING:
    from datetime import date

    from property.plain_course import Course
    from property.plain_log import Row
    from property.plain_step import Day


class PlainSpell(NamedTuple):
    step: str
    entered_on: date
    days: int
    ending: str
    ended_on: date | None


class Seen(NamedTuple):
    """A closed day: whether it opened lapsed, which steps were set aside by then, what settled on it."""

    day: Day
    was_lapsed: bool
    set_aside: set[str]
    settled: set[str]


def plain_spells(course: Course, rows: list[Row], last: date) -> list[PlainSpell]:
    """Every spell of the course's own steps through a closed day, told from the whole list of days."""
    household, seen = Household(course, rows), []
    for day in household.log.household_days(last):
        was_lapsed = household.lapsed
        household.open_day(day)
        steps = household.steps.values()
        aside = {step.name for step in steps if step.set_aside}
        household.close_day()
        settled = {step.name for step in steps if step.settled_on == day}
        seen.append(Seen(household.today, was_lapsed, aside, settled))
    ours = {step["id"] for step in course["steps"]}
    introduced = [
        (step.introduced_on, step.name)
        for step in household.steps.values()
        if step.name in ours and step.introduced_on is not None
    ]
    return [_spell(name, [one for one in seen if one.day.on >= since], seen) for since, name in introduced]


def _spell(name: str, since: list[Seen], seen: list[Seen]) -> PlainSpell:
    days = 0
    for place, one in enumerate(since):
        # Its first day counts always: nothing is introduced on a paused one.
        days += not one.day.paused
        ending = _ending(name, one, is_first=place == 0, before=seen[: seen.index(one)])
        if ending == "lapsed" and _has_left(since[place:]):
            ending = "left"
        if ending:
            return PlainSpell(name, since[0].day.on, days, ending, one.day.on)
    return PlainSpell(name, since[0].day.on, days, "open", None)


def _ending(name: str, one: Seen, *, is_first: bool, before: list[Seen]) -> str:
    begins = one.was_lapsed and not (before and before[-1].was_lapsed and before[-1].day.lapsed)
    if begins and not one.day.paused and not is_first:
        return "lapsed"
    if name in one.set_aside:
        return "set aside"
    return "settled" if name in one.settled else ""


def _has_left(since_lapse: list[Seen]) -> bool:
    unmarked = 0
    for one in since_lapse:
        if one.day.paused:
            continue
        if one.day.marks:
            return False
        unmarked += 1
        if unmarked == 28:
            return True
    return False
