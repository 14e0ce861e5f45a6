"""People of households that live in other databases than they do."""

from __future__ import annotations

import threading
import time as clock
from typing import TYPE_CHECKING

from coach.store import people_statements as statements
from coach.store.people import member_of
from coach.store.wall import DOOR

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from coach.ground.people import Member
    from coach.store.placed import PlacedStore

KEPT_SECONDS = 60
"""How long it is remembered how many belong to a household at one version of it."""

KEPT = 100_000
"""Households of which it is."""


class People:
    """What the databases of households ask the central one about people.

    Attributes:
        central: The central database.
    """

    central: PlacedStore

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._numbers: dict[str, tuple[int, float, int]] = {}

    def members(self, household: str) -> Sequence[Member]:
        """Who belongs to a household, in the order in which they joined."""
        [found] = self.central.ask(DOOR, (statements.MEMBERS, {"household": household}))
        return [member_of(row) for row in found]

    def members_at(self, household: str, version: int) -> int:
        """How many belong to a household, for a version of it."""
        now = clock.monotonic()
        with self._guard:
            kept, at, number = self._numbers.get(household, (None, 0.0, 0))
        if kept == version and now - at < KEPT_SECONDS:
            return number
        [found] = self.central.ask(DOOR, (statements.COUNT_MEMBERS, {"household": household}))
        number = int(found[0][0])
        with self._guard:
            if len(self._numbers) >= KEPT:
                self._numbers.clear()
            self._numbers[household] = version, now, number
        return number

    def names_of(self, people: Collection[str]) -> Mapping[str, str]:
        """What people are called, by their keys."""
        if not people:
            return {}
        with self.central.people_reading() as reading:
            return reading.names_of(people)

    def let_go_of(self, household: str, named: Sequence[str]) -> None:
        """Delete what is left of a household that was deleted where it lived: its people and their ways in.

        Args:
            household: The household.
            named: Whom its rows named.
        """
        with self.central.people_writing() as writing:
            writing.clear(household)
            for person in named:
                writing.forget_person(person)
