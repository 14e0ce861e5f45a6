"""What `coach demo --group` adds: a group of invented homes, and how its coach and one of them get in."""

from __future__ import annotations

from contextlib import ExitStack
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.coaching.demo import their_day
from coach.coaching.demo_group import COACH_NAME, GROUP_NAME, furnish_group
from coach.coaching.invented import NAMES
from coach.ground.people import Code
from coach.household.codes import kept_code
from coach.web import listening

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.ground.people import CodeKind
    from coach.ground.ports import Context

HOLDS = timedelta(days=1)
"""So long the ways in hold that are printed."""


def enter(context: Context, public_url: str) -> Iterator[str]:
    """Enter the group into an empty database; the lines that say how to get in."""
    today = context.pretend or their_day(context.clock())
    there = furnish_group(context, today)
    coach = _link(context, "coach", "", there.coach)
    home = _link(context, "invitation", there.household, there.keeper)
    yield f"{COACH_NAME} coaches “{GROUP_NAME}”, {len(NAMES)} invented homes. Come in as {COACH_NAME}:"
    yield f"    {public_url}{coach}"
    yield "Or, in a private window, as one of the homes:"
    yield f"    {public_url}{home}"


def _link(context: Context, kind: CodeKind, household: str, person: str) -> str:
    now = context.clock()
    code = Code(household, kind, person, person, 20, 0, now, now + HOLDS)
    return kept_code(context, code, "").link


def free_port(host: str) -> int:
    """A port that nobody listens on just now."""
    with ExitStack() as until:
        sockets = [until.enter_context(one) for one in listening.on_this_machine(host, 0)]
        port: int = sockets[0].getsockname()[1]
        return port
