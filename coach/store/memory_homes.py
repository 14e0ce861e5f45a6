"""Whose home is where, and who coaches, without a database."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Protocol

from coach.ground.homes import Belonging, Somebody

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from coach.ground.people import Code, Role, Session
    from coach.store.memory_kept import Kept


class _HasKept(Protocol):
    kept: Kept


class MemoryHomesReading:
    """Households of people, as they were when the transaction began."""

    def homes_of(self: _HasKept, person: str) -> Sequence[Belonging]:
        """The households somebody belongs to, in the order in which they joined them."""
        found = [
            Belonging(household, role, since)
            for (household, member), (role, since) in self.kept.belong.items()
            if member == person
        ]
        return sorted(found, key=lambda one: (one.since, one.household))

    def role_of(self: _HasKept, household: str, person: str) -> Role | None:
        """What somebody is in a household; None: they do not belong to it."""
        role, _ = self.kept.belong.get((household, person), (None, None))
        return role

    def count_homes(self: _HasKept) -> int:
        """How many households there are that somebody belongs to."""
        return len({household for household, _ in self.kept.belong})

    def is_coach(self: _HasKept, person: str) -> bool:
        """Whether somebody may coach groups."""
        return person in self.kept.coaches

    def sessions_of(self: _HasKept, person: str) -> Sequence[Session]:
        """Somebody's devices and programs, those seen last first."""
        found = sorted((one for one in self.kept.sessions.values()), key=lambda one: one.id)
        return sorted(
            (one for one in found if one.person == person), key=lambda one: one.seen_at, reverse=True
        )

    def everybody(self: _HasKept) -> Sequence[Somebody]:
        """Everybody there is, in the order in which they were written down."""
        kept = self.kept
        found = [
            Somebody(person, name, kept.written[person], person in kept.coaches)
            for person, name in kept.names.items()
        ]
        return sorted(found, key=lambda one: (one.since, one.person))

    def codes_of(self: _HasKept, group: str) -> Sequence[Code]:
        """The codes by which new households come into a group, the newest first."""
        found = (one for one in self.kept.codes.values() if one.group == group)
        return sorted(found, key=lambda one: one.made_at, reverse=True)

    def code_named(self: _HasKept, begins: str) -> Code | None:
        """The code that begins with these letters, where they name it."""
        found = [one for one in self.kept.codes.values() if begins and one.begins == begins]
        return max(found, key=lambda one: one.made_at, default=None)


class MemoryHomesWriting(MemoryHomesReading):
    """The same with the right to write."""

    def put_coach(self: _HasKept, person: str, at: datetime) -> None:
        """Let somebody coach groups; nothing if they may already."""
        self.kept = replace(self.kept, coaches={person: at, **self.kept.coaches})

    def choose(self: _HasKept, session: str, household: str) -> None:
        """Let a session ask about another household from now on."""
        sessions = {
            key: replace(one, household=household) if one.id == session else one
            for key, one in self.kept.sessions.items()
        }
        self.kept = replace(self.kept, sessions=sessions)

    def drop_sessions_of(self: _HasKept, person: str) -> None:
        """End every device and program of somebody."""
        sessions = {key: one for key, one in self.kept.sessions.items() if one.person != person}
        self.kept = replace(self.kept, sessions=sessions)

    def wrong_named(self: _HasKept, begins: str, at: datetime) -> None:
        """Count a wrong try against the code that begins with these letters, if it holds at that instant."""
        codes = {
            key: replace(one, wrong=one.wrong + bool(begins and one.begins == begins and one.ends_at > at))
            for key, one in self.kept.codes.items()
        }
        self.kept = replace(self.kept, codes=codes)

    def drop_codes_over(self: _HasKept, ended: datetime) -> None:
        """Forget every code that was over by an instant, whatever it leads into."""
        codes = {key: one for key, one in self.kept.codes.items() if one.ends_at > ended}
        self.kept = replace(self.kept, codes=codes)

    def drop_codes_of(self: _HasKept, group: str, ended: datetime | None = None) -> None:
        """Forget a group's codes: all, or those that were over by an instant."""
        codes = {
            key: one
            for key, one in self.kept.codes.items()
            if one.group != group or (ended is not None and one.ends_at > ended)
        }
        self.kept = replace(self.kept, codes=codes)
