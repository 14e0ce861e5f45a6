"""`coach pace --compare`: one rule beside another, as a table or as JSON."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from coach.commands.pace_states import most_states, say_if_long
from coach.pace.comparing import (
    ADHERENCES,
    BEGINS,
    ENDS,
    LAPSED_BY,
    LUCK_DAYS,
    LUCK_RATE,
    Asked,
    Quiet,
    compared,
    rules_of,
)
from coach.progress.paces import checked_pace

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from coach.course.model import Course
    from coach.pace.comparing import Compared

SMALL = 0.005
"""Shares smaller than this round to none."""


def tell(course: Course, arguments: argparse.Namespace) -> None:
    """Print what each rule of a list such as `2of3,3of4` costs in the place of every waiting step's."""
    quiet = Quiet(
        BEGINS if arguments.drop_a_day is None else arguments.drop_a_day,
        ENDS if arguments.back_a_day is None else arguments.back_a_day,
    )
    adherences = ADHERENCES if arguments.adherence is None else (arguments.adherence,)
    asked = Asked(arguments.pace, adherences, quiet, seed=arguments.seed, most_states=most_states())
    rules = rules_of(arguments.compare)
    added = course.paces[checked_pace(asked.pace, course.paces)]
    say_if_long((kept + added, of + added) for kept, of in rules)
    found = compared(course, rules, asked)
    if arguments.json:
        print(json.dumps(_as_object(course, asked, found), ensure_ascii=False))
    else:
        _print_table(course, asked, found)


def _as_object(course: Course, asked: Asked, found: Sequence[Compared]) -> dict[str, object]:
    """The comparison as JSON."""
    return {
        "course": course.title,
        "pace": asked.pace,
        "households": asked.households,
        "seed": asked.seed,
        "quiet": {"begins": asked.quiet.begins, "ends": asked.quiet.ends},
        "rules": [
            {
                "rule": one.rule,
                "settles_within_28_at_0.4": one.by_luck,
                "exact": one.is_exact,
                "lapses_exact": one.lapses_exact,
                "adherences": [
                    {"adherence": at.adherence, "p50": at.p50, "p80": at.p80, "lapsed_by_60": at.lapsed}
                    for at in one.at
                ],
            }
            for one in found
        ],
    }


def _print_table(course: Course, asked: Asked, found: Sequence[Compared]) -> None:
    """The comparison in words and columns."""
    print(f"{course.title}, {asked.pace} pace: what each rule costs")
    for one in found:
        kept, of = one.rule.split("of")
        print(f"{kept} of the latest {of} kept")
        for at in one.at:
            days = f"{_day(at.p50)} for one in two, {_day(at.p80)} for eight in ten"
            print(f"  keeps {100 * at.adherence:.0f} % of days: through by day {days}")
        print(f"  settles by luck: {_percent(one.by_luck)} of steps kept on {LUCK_RATE:g} of days do")
        lapsed = sorted({round(100 * at.lapsed) for at in one.at})
        share = f"{lapsed[0]} %" if len(lapsed) == 1 else f"{lapsed[0]} to {lapsed[-1]} %"
        print(f"  lapsed by day {LAPSED_BY}: {share}")
    reckoned = "exact" if all(one.is_exact for one in found) else _drawn(asked)
    print(f"Days to finish are {reckoned}, for who marks every day; days are taken to be independent.")
    print(f"Luck is counted over {LUCK_DAYS} days.")
    print(f"Lapses: {100 * asked.quiet.begins:g} % of households fall quiet each day, and", end=" ")
    print(f"{100 * asked.quiet.ends:g} % of the quiet come back.")
    if all(one.lapses_exact for one in found):
        print("They are exact, and depend on days without a mark alone: not on the rule or what is kept.")
    else:
        print(f"They are {_drawn(asked)}; a lapse is days without a mark, so they hardly depend on the rule.")


def _drawn(asked: Asked) -> str:
    return f"simulated with {asked.households:,} households each"


def _day(day: int | None) -> str:
    return "?" if day is None else str(day)


def _percent(share: float) -> str:
    """A share in whole per cent that is not rounded to none or all."""
    if 0 < share < SMALL:
        return "under 1 %"
    if 1 - SMALL < share < 1:
        return "over 99 %"
    return f"{100 * share:.0f} %"
