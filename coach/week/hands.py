"""The minutes of the lines that each member marked in a week: a fact, in the order in which they joined."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from coach.habits.signatures import is_several, names_in
from coach.progress.log import What
from coach.week.answers import MemberMinutes

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.rows import Signed
    from coach.ground.situation import Situation

DONE = frozenset({What.KEPT, What.SMALL})
NOBODY = ""
"""The key of what the household alone, an import or somebody who has left marked."""


def minutes_by_member(where: Situation, first: date, last: date) -> tuple[MemberMinutes, ...]:
    """Each member's minutes of the lines marked kept or small in a week; none where fewer than two live.

    Minutes are those that a line takes now. What nobody is known to have marked comes last, if there is any.
    """
    if not is_several(where):
        return ()
    names = names_in(where)
    # Of two ids of one step the row written last holds.
    rows = {(one.date, where.state.present(one.step)): one for one in where.reading.signed(first, last)}
    found = Counter[str]()
    for (_, step), one in rows.items():
        found[one.by if one.by in names else NOBODY] += _minutes(where, step, one)
    told = [MemberMinutes(person, name, found[person]) for person, name in names.items()]
    rest = [MemberMinutes(NOBODY, NOBODY, found[NOBODY])] if found[NOBODY] else []
    return (*told, *rest)


def _minutes(where: Situation, step: str, row: Signed) -> int:
    place = where.standing.place(step) if row.what in DONE else None
    return place.step.minutes if place else 0
