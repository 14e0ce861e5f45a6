"""Whose home is where, who coaches, and the ports to that: what a service of many households asks."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, Protocol

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from coach.ground.ways_in import Code, Role, Session


class Belonging(NamedTuple):
    """A household that somebody belongs to.

    Attributes:
        household: Its key.
        role: What they are there: `keeper` or `member`.
        since: When they joined, aware.
    """

    household: str
    role: Role
    since: datetime


class Somebody(NamedTuple):
    """A person, whatever they belong to.

    Attributes:
        person: Their key.
        name: What they are called.
        since: When they were written down, aware.
        is_coach: Whether they may coach groups.
    """

    person: str
    name: str
    since: datetime
    is_coach: bool


class HomesReading(Protocol):
    """Part of `PeopleReading`."""

    def homes_of(self, person: str) -> Sequence[Belonging]:
        """The households somebody belongs to, in the order in which they joined them."""

    def role_of(self, household: str, person: str) -> Role | None:
        """What somebody is in a household; None: they do not belong to it."""

    def count_homes(self) -> int:
        """How many households there are that somebody belongs to."""

    def is_coach(self, person: str) -> bool:
        """Whether somebody may coach groups."""

    def sessions_of(self, person: str) -> Sequence[Session]:
        """Somebody's devices and programs, whatever household they were let into, those seen last first."""

    def everybody(self) -> Sequence[Somebody]:
        """Everybody there is, in the order in which they were written down."""

    def codes_of(self, group: str) -> Sequence[Code]:
        """The codes by which new households come into a group, the newest first."""

    def code_named(self, begins: str) -> Code | None:
        """The code that begins with these letters, where they name it."""


class HomesWriting(HomesReading, Protocol):
    """Part of `PeopleWriting`."""

    def put_coach(self, person: str, at: datetime) -> None:
        """Let somebody coach groups; nothing if they may already."""

    def choose(self, session: str, household: str) -> None:
        """Let a session ask about another household from now on."""

    def drop_sessions_of(self, person: str) -> None:
        """End every device and program of somebody, whatever household they were let into."""

    def wrong_named(self, begins: str, at: datetime) -> None:
        """Count a wrong try against the code that begins with these letters, if it holds at that instant."""

    def drop_codes_over(self, ended: datetime) -> None:
        """Forget every code that was over by an instant, whatever it leads into."""

    def drop_codes_of(self, group: str, ended: datetime | None = None) -> None:
        """Forget a group's codes: all, or those that were over by an instant."""
