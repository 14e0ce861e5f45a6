"""`coach pace --adherence`: how long a course takes, exactly, as a table or as JSON."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from coach.commands.pace_states import most_states, say_if_long
from coach.pace.distribution import LONGEST
from coach.pace.exact import exact_of, rules_asked

if TYPE_CHECKING:
    import argparse

    from coach.course.model import Course
    from coach.pace.exact import Exact


def tell(course: Course, arguments: argparse.Namespace) -> None:
    """Print how long a course takes who keeps each due day with a chance."""
    asked = rules_asked(course, arguments.pace)
    say_if_long((rule.kept, rule.of) for rule in asked.values())
    found = exact_of(asked, arguments.adherence, most_states())
    if arguments.json:
        print(json.dumps(_as_object(found)))
    else:
        _print_table(course, arguments.pace, arguments.adherence, found)


def _as_object(found: Exact) -> dict[str, object]:
    steps = [{"step": one.step, "mean": one.mean} for one in found.steps]
    return {"mean": found.mean, **found.quantiles(), "steps": steps}


def _print_table(course: Course, pace: str, adherence: float, found: Exact) -> None:
    print(f"{course.title}, {pace} pace, each due day kept with chance {adherence:g}:")
    print("days until the last waiting step has settled")
    print(f"  mean                      {_said(found.mean)}")
    quantiles = found.quantiles()
    for name, words in (("p10", "1 in 10"), ("p50", "1 in 2"), ("p80", "8 in 10"), ("p90", "9 in 10")):
        print(f"  with a chance of {words:<9}{_day(quantiles[name])}")
    width = max(len(one.step) for one in found.steps)
    print("days a step takes, on average")
    for one in found.steps:
        print(f"  {one.step:<{width}}  {_said(one.mean)}")
    print("Days are taken to be independent; holds and lapses are left out.")


def _said(mean: float | None) -> str:
    if mean is None:
        return "never"
    return f"{mean:.1f}" if mean <= LONGEST else "more than a hundred years"


def _day(day: int | None) -> str:
    return "not within a hundred years" if day is None else str(day)
