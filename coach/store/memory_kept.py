"""What is kept of people without a database, replaced as a whole when a transaction ends."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from coach.ground.people import Member
from coach.store.memory_sending import KeptSending
from coach.store.memory_ways_in import KeptWaysIn

if TYPE_CHECKING:
    from datetime import datetime

    from coach.ground.answered import Answered
    from coach.ground.people import Code, Role, Session, SignIn


@dataclass(frozen=True, slots=True)
class Kept:
    """What is kept; replaced as a whole when a transaction ends."""

    names: dict[str, str] = field(default_factory=dict)
    written: dict[str, datetime] = field(default_factory=dict)
    coaches: dict[str, datetime] = field(default_factory=dict)
    belong: dict[tuple[str, str], tuple[Role, datetime]] = field(default_factory=dict)
    sessions: dict[str, Session] = field(default_factory=dict)
    codes: dict[str, Code] = field(default_factory=dict)
    sign_ins: dict[str, tuple[SignIn, ...]] = field(default_factory=dict)
    tallies: dict[str, tuple[datetime, int]] = field(default_factory=dict)
    answers: dict[tuple[str, str], tuple[datetime, Answered]] = field(default_factory=dict)
    sending: KeptSending = field(default_factory=KeptSending)
    ways_in: KeptWaysIn = field(default_factory=KeptWaysIn)

    def members_of(self, household: str) -> list[Member]:
        """Who belongs to a household, in the order in which they joined."""
        found = [
            Member(person, self.names[person], role, since)
            for (home, person), (role, since) in self.belong.items()
            if home == household
        ]
        return sorted(found, key=lambda one: (one.since, one.person))

    def answer(self, household: str, request_id: str, since: datetime) -> Answered | None:
        """How a household's request of that id was answered, if that was no earlier than an instant."""
        at, found = self.answers.get((household, request_id), (since, None))
        return found if at >= since else None

    def with_answer(
        self, household: str, request_id: str, given: tuple[datetime, Answered], before: datetime
    ) -> Kept:
        """The same with one more answer, and without the household's that were given before an instant."""
        kept = {key: held for key, held in self.answers.items() if key[0] != household or held[0] >= before}
        return replace(self, answers={**kept, (household, request_id): given})

    def without_answers(self, household: str) -> Kept:
        """The same without any answer to a household's requests."""
        return replace(self, answers={key: held for key, held in self.answers.items() if key[0] != household})
