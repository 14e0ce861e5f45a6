"""People, what lets them in, and the port to where that is kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple, Protocol

from coach.ground.homes import HomesReading, HomesWriting
from coach.ground.passkeys import WaysInReading, WaysInWriting
from coach.ground.sending import Sending, SendingReading, SendingWriting
from coach.ground.ways_in import KEEPER, MEMBER, Code, CodeKind, Kind, Member, Role, Scope, Session

if TYPE_CHECKING:
    from collections.abc import Sequence
    from contextlib import AbstractContextManager
    from datetime import datetime

    from coach.ground.answered import Answered

__all__ = [
    "KEEPER",
    "MEMBER",
    "Caller",
    "Code",
    "CodeKind",
    "Kind",
    "Member",
    "People",
    "PeopleReading",
    "PeopleWriting",
    "Role",
    "Scope",
    "Session",
    "Shown",
    "SignIn",
]


@dataclass(frozen=True, slots=True)
class SignIn:
    """What happened at a household's door; never a code or a token.

    Attributes:
        at: When, aware.
        way: `pairing`, `invitation`, `device`, `token` or `person`.
        outcome: What came of it.
        person: Who, where that is known.
        name: What the device is called, where it has a name.
        address: Where the request came from, where that is known.
    """

    at: datetime
    way: str
    outcome: str
    person: str = ""
    name: str = ""
    address: str = ""


@dataclass(frozen=True, slots=True)
class Caller:
    """Who asks.

    Attributes:
        household: The household that is asked about; empty: none, as for a coach without one.
        role: What they may do there; None: nobody was let in.
        person: Their key; empty: the household alone, on its own machine.
        name: What they are called; empty for the household alone.
        session: What they were let in by; None on the machine itself.
        address: Where the request comes from.
        over: Why what they show does not let them in any more; empty if they show nothing.
        coaches: Whether they are let in as a coach, so that their groups open.
    """

    household: str
    role: Role | None = None
    person: str = ""
    name: str = ""
    session: Session | None = None
    address: str = ""
    over: str = ""
    coaches: bool = False

    @property
    def is_let_in(self) -> bool:
        """Whether they were let in at all: into a household, or as a coach."""
        return self.role is not None or self.coaches

    @property
    def is_keeper(self) -> bool:
        """Whether they look after the household."""
        return self.role == KEEPER

    @property
    def may_write(self) -> bool:
        """Whether they may change anything."""
        return self.is_let_in and (self.session is None or self.session.scope == "write")


class Shown(NamedTuple):
    """A session with the one whose it is, as one read finds it.

    Attributes:
        session: The session.
        name: What its person is called.
        role: What they are in its household; None: they do not belong to it, or to it any more.
        is_coach: Whether they may coach groups, whatever the session is.
    """

    session: Session
    name: str
    role: Role | None
    is_coach: bool = False


class PeopleReading(SendingReading, HomesReading, WaysInReading, Protocol):
    """People, ways in and what is sent, inside one short transaction."""

    def members(self, household: str) -> Sequence[Member]:
        """Who belongs to a household, in the order in which they joined."""

    def sessions(self, household: str) -> Sequence[Session]:
        """A household's devices and programs, those seen last first."""

    def codes(self, household: str) -> Sequence[Code]:
        """The codes that lead into a household, used up or over or not, the newest first."""

    def sign_ins(self, household: str, most: int) -> Sequence[SignIn]:
        """What happened at its door lately, the newest first."""

    def code(self, secret: str) -> Code | None:
        """The code of that hash."""

    def tally(self, key: str) -> tuple[datetime, int] | None:
        """Since when something was counted, and how often it was tried."""

    def answered(self, household: str, request_id: str, since: datetime) -> Answered | None:
        """How a household's request of that id was answered, if that was no earlier than an instant."""


class PeopleWriting(PeopleReading, SendingWriting, HomesWriting, WaysInWriting, Protocol):
    """The same with the right to write; everything happens or nothing does."""

    def add_person(self, person: str, name: str, at: datetime) -> None:
        """Write somebody down."""

    def rename(self, person: str, name: str) -> None:
        """Call somebody something else."""

    def forget_person(self, person: str) -> None:
        """Delete somebody who belongs to no household, coaches nobody and has written no row.

        Rows go on naming who wrote them, so the name of one who was taken out stays as long as they do; their
        passkeys and their recovery sheet end all the same, since there is nothing left that they open.
        Nothing happens to one who belongs to a household still, or coaches.
        """

    def put_member(self, household: str, person: str, role: Role, at: datetime) -> None:
        """Let somebody belong to a household, or change what they are there."""

    def drop_member(self, household: str, person: str) -> None:
        """Let somebody belong to a household no more; their devices, feeds and reminder there end with it."""

    def add_session(self, secret: str, session: Session) -> None:
        """Let a device or a program in."""

    def drop_session(self, household: str, session: str) -> None:
        """End one; nothing if there is none of that id."""

    def drop_over(self, household: str, now: datetime, unseen: datetime) -> None:
        """Forget those that are over by now, and the browsers that were last seen by an instant."""

    def name_session(self, household: str, session: str, name: str) -> None:
        """Call one something else."""

    def touch(self, session: str, at: datetime) -> None:
        """Write down that one was seen."""

    def put_code(self, secret: str, code: Code) -> None:
        """Keep a code, in the place of one of the same hash."""

    def drop_code(self, secret: str) -> None:
        """Forget a code."""

    def wrong(self, household: str, kind: CodeKind, at: datetime) -> None:
        """Count a wrong try against every code of a kind into a household that holds at that instant."""

    def keep_codes(self, household: str, kind: CodeKind, most: int, group: str = "") -> None:
        """Keep the newest codes of a kind into a household or a group, so many, and forget the others."""

    def drop_codes(self, household: str, ended: datetime | None = None) -> None:
        """Forget a household's codes: all, or those that were over by an instant."""

    def add_sign_in(self, household: str, happened: SignIn, most: int) -> None:
        """Write down what happened at the door, and let go of what is beyond so many."""

    def put_tally(self, key: str, since: datetime, count: int) -> None:
        """Keep a count in the place of the one before."""

    def drop_tallies(self, before: datetime) -> None:
        """Forget the counts that began before an instant."""

    def keep_answer(
        self, household: str, request_id: str, answered: Answered, at: datetime, before: datetime
    ) -> None:
        """Keep an answer as `Writing.keep_answer` does, for what was written about people."""

    def clear(self, household: str) -> None:
        """Delete everything of one household: members, devices, codes, feeds, reminders and its door."""


class People(Sending, Protocol):
    """Where people and what lets them in are kept; each transaction opens and closes inside one use case."""

    def shown(self, secret: str) -> Shown | None:
        """The session of that hash with the one whose it is, by one read."""

    def people_reading(self) -> AbstractContextManager[PeopleReading]:
        """A transaction that only reads."""

    def people_writing(self) -> AbstractContextManager[PeopleWriting]:
        """A transaction that writes: committed when the block ends, rolled back if it raises.

        What a household shows of its people changes with it, so every household that is written about here
        gets a new version.
        """
