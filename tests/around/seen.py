"""What stands around a household's day, looked at as a page does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.around.today import around_in
from coach.ground.situation import looking

if TYPE_CHECKING:
    from coach.around.answers import Around
    from coach.ground.ports import Context


def around(context: Context, household: str) -> Around:
    """What stands around today's habits."""
    with looking(context, household) as where:
        return around_in(where)
