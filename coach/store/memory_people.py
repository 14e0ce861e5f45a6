"""People and what lets them in without a database: plain values, for trying use cases out."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from coach.ground.people import Member, Shown
from coach.store.memory_homes import MemoryHomesReading, MemoryHomesWriting
from coach.store.memory_kept import Kept
from coach.store.memory_sending import KeptSending, MemorySendingReading, MemorySendingWriting
from coach.store.memory_ways_in import KeptWaysIn, MemoryWaysInReading, MemoryWaysInWriting

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator, Sequence
    from datetime import datetime

    from coach.ground.answered import Answered
    from coach.ground.people import Code, CodeKind, Role, Session, SignIn
    from coach.ground.sending import Feed


class MemoryPeople:
    """Where people are kept in memory; who writes is let in one at a time by the store.

    Attributes:
        kept: What is kept.
    """

    def __init__(self) -> None:
        self.kept = Kept()

    def shown(self, secret: str) -> Shown | None:
        """The session of that hash with the one whose it is."""
        session = self.kept.sessions.get(secret)
        if session is None or session.person not in self.kept.names:
            return None
        role, _ = self.kept.belong.get((session.household, session.person), (None, None))
        is_coach = session.person in self.kept.coaches
        return Shown(session, self.kept.names[session.person], role, is_coach)

    def fed(self, secret: str) -> Feed | None:
        """The feed of that hash."""
        return self.kept.sending.fed(secret)

    @contextmanager
    def people_reading(self) -> Iterator[MemoryPeopleReading]:
        """What there is now, whatever is written meanwhile."""
        yield MemoryPeopleReading(self.kept)


class MemoryPeopleReading(MemorySendingReading, MemoryHomesReading, MemoryWaysInReading):
    """People as they were when the transaction began."""

    def __init__(self, kept: Kept) -> None:
        self.kept = kept

    @property
    def sending(self) -> KeptSending:
        """What is fetched and sent."""
        return self.kept.sending

    @sending.setter
    def sending(self, sending: KeptSending) -> None:
        self.kept = replace(self.kept, sending=sending)

    @property
    def ways_in(self) -> KeptWaysIn:
        """Passkeys, recovery sheets and ceremonies."""
        return self.kept.ways_in

    @ways_in.setter
    def ways_in(self, ways_in: KeptWaysIn) -> None:
        self.kept = replace(self.kept, ways_in=ways_in)

    def members(self, household: str) -> Sequence[Member]:
        """Who belongs to a household, in the order in which they joined."""
        return self.kept.members_of(household)

    def sessions(self, household: str) -> Sequence[Session]:
        """A household's devices and programs, those seen last first."""
        found = sorted((one for one in self.kept.sessions.values()), key=lambda one: one.id)
        theirs = (one for one in found if one.household == household)
        return sorted(theirs, key=lambda one: one.seen_at, reverse=True)

    def codes(self, household: str) -> Sequence[Code]:
        """The codes that lead into a household, the newest first."""
        found = (one for one in self.kept.codes.values() if one.household == household)
        return sorted(found, key=lambda one: one.made_at, reverse=True)

    def called(self, person: str) -> str | None:
        """What somebody is called, whatever they belong to."""
        return self.kept.names.get(person)

    def code(self, secret: str) -> Code | None:
        """The code of that hash."""
        return self.kept.codes.get(secret)

    def sign_ins(self, household: str, most: int) -> Sequence[SignIn]:
        """What happened at its door lately, the newest first."""
        return list(reversed(self.kept.sign_ins.get(household, ())))[:most]

    def tally(self, key: str) -> tuple[datetime, int] | None:
        """Since when something was counted, and how often it was tried."""
        return self.kept.tallies.get(key)

    def answered(self, household: str, request_id: str, since: datetime) -> Answered | None:
        """How a household's request of that id was answered, if that was no earlier than an instant."""
        return self.kept.answer(household, request_id, since)


class MemoryPeopleWriting(MemoryPeopleReading, MemorySendingWriting, MemoryHomesWriting, MemoryWaysInWriting):
    """The same with the right to write.

    Args:
        kept: What is kept so far.
        writers: Who has written a row of any log or plan.

    Attributes:
        grown: The households that get a new version.
    """

    def __init__(self, kept: Kept, writers: Collection[str] = ()) -> None:
        super().__init__(kept)
        self.grown: set[str] = set()
        self._writers = writers

    def add_person(self, person: str, name: str, at: datetime) -> None:
        """Write somebody down."""
        names, written = {**self.kept.names, person: name}, {**self.kept.written, person: at}
        self.kept = replace(self.kept, names=names, written=written)

    def rename(self, person: str, name: str) -> None:
        """Call somebody something else."""
        if person in self.kept.names:
            self.kept = replace(self.kept, names={**self.kept.names, person: name})

    def forget_person(self, person: str) -> None:
        """Delete somebody who belongs to no household, coaches nobody and has written no row."""
        if person in self.kept.coaches or any(member == person for _, member in self.kept.belong):
            return
        self.ways_in = self.ways_in.without_person(person)
        if person not in self._writers:
            names = {key: name for key, name in self.kept.names.items() if key != person}
            self.kept = replace(self.kept, names=names)

    def put_member(self, household: str, person: str, role: Role, at: datetime) -> None:
        """Let somebody belong to a household, or change what they are there."""
        _, since = self.kept.belong.get((household, person), (role, at))
        belong = {**self.kept.belong, (household, person): (role, since)}
        self.kept = replace(self.kept, belong=belong)
        self.grown.add(household)

    def drop_member(self, household: str, person: str) -> None:
        """Let somebody belong to a household no more; what they have there ends with it."""
        belong = {key: held for key, held in self.kept.belong.items() if key != (household, person)}
        self.kept = replace(self.kept, belong=belong)
        self._keep_sessions(lambda one: (one.household, one.person) != (household, person))
        self.sending = self.sending.without_person(household, person)
        self.grown.add(household)

    def add_session(self, secret: str, session: Session) -> None:
        """Let a device or a program in."""
        self.kept = replace(self.kept, sessions={**self.kept.sessions, secret: session})

    def drop_session(self, household: str, session: str) -> None:
        """End one; nothing if there is none of that id."""
        self._keep_sessions(lambda one: (one.household, one.id) != (household, session))

    def drop_over(self, household: str, now: datetime, unseen: datetime) -> None:
        """Forget those that are over by now, and the browsers that were last seen by an instant."""
        self._keep_sessions(
            lambda one: (
                one.household != household
                or (one.ends_at > now and (one.kind != "browser" or one.seen_at > unseen))
            )
        )

    def name_session(self, household: str, session: str, name: str) -> None:
        """Call one something else."""
        self._change_sessions(lambda one: (one.household, one.id) == (household, session), name=name)

    def touch(self, session: str, at: datetime) -> None:
        """Write down that one was seen."""
        self._change_sessions(lambda one: one.id == session, seen_at=at)

    def put_code(self, secret: str, code: Code) -> None:
        """Keep a code, in the place of one of the same hash."""
        self.kept = replace(self.kept, codes={**self.kept.codes, secret: code})

    def drop_code(self, secret: str) -> None:
        """Forget a code."""
        codes = {key: code for key, code in self.kept.codes.items() if key != secret}
        self.kept = replace(self.kept, codes=codes)

    def wrong(self, household: str, kind: CodeKind, at: datetime) -> None:
        """Count a wrong try against every code of a kind into a household that holds at that instant."""
        meant = (household, kind)
        codes = {
            key: replace(
                code, wrong=code.wrong + ((code.household, code.kind) == meant and code.ends_at > at)
            )
            for key, code in self.kept.codes.items()
        }
        self.kept = replace(self.kept, codes=codes)

    def keep_codes(self, household: str, kind: CodeKind, most: int, group: str = "") -> None:
        """Keep the newest codes of a kind into a household or a group, so many, and forget the others."""
        of, there = (household, kind, group), self.kept.codes.items()
        meant = [key for key, code in there if (code.household, code.kind, code.group) == of]
        newest = sorted(meant, key=lambda key: self.kept.codes[key].made_at, reverse=True)
        for key in newest[most:]:
            self.drop_code(key)

    def drop_codes(self, household: str, ended: datetime | None = None) -> None:
        """Forget a household's codes: all, or those that were over by an instant."""
        codes = {
            key: code
            for key, code in self.kept.codes.items()
            if code.household != household or (ended is not None and code.ends_at > ended)
        }
        self.kept = replace(self.kept, codes=codes)

    def add_sign_in(self, household: str, happened: SignIn, most: int) -> None:
        """Write down what happened at the door, and let go of what is beyond so many."""
        there = (*self.kept.sign_ins.get(household, ()), happened)[-most:]
        self.kept = replace(self.kept, sign_ins={**self.kept.sign_ins, household: there})

    def put_tally(self, key: str, since: datetime, count: int) -> None:
        """Keep a count in the place of the one before."""
        self.kept = replace(self.kept, tallies={**self.kept.tallies, key: (since, count)})

    def drop_tallies(self, before: datetime) -> None:
        """Forget the counts that began before an instant."""
        tallies = {key: held for key, held in self.kept.tallies.items() if held[0] >= before}
        self.kept = replace(self.kept, tallies=tallies)

    def keep_answer(
        self, household: str, request_id: str, answered: Answered, at: datetime, before: datetime
    ) -> None:
        """Keep an answer for when its request is sent again; those given before an instant are let go of."""
        self.kept = self.kept.with_answer(household, request_id, (at, answered), before)

    def clear(self, household: str) -> None:
        """Delete everything of one household: members, devices, codes and what happened at its door."""
        people = [one.person for one in self.members(household)]
        self._keep_sessions(lambda one: one.household != household)
        self.drop_codes(household)
        belong = {key: held for key, held in self.kept.belong.items() if key[0] != household}
        sign_ins = {key: held for key, held in self.kept.sign_ins.items() if key != household}
        self.kept = replace(
            self.kept, belong=belong, sign_ins=sign_ins, sending=self.sending.without(household)
        )
        for person in people:
            self.forget_person(person)
        self.grown.add(household)

    def _keep_sessions(self, stays: Callable[[Session], bool]) -> None:
        sessions = {key: one for key, one in self.kept.sessions.items() if stays(one)}
        self.kept = replace(self.kept, sessions=sessions)

    def _change_sessions(self, is_meant: Callable[[Session], bool], **changes: Any) -> None:  # noqa: ANN401  fields
        sessions = {
            key: replace(one, **changes) if is_meant(one) else one for key, one in self.kept.sessions.items()
        }
        self.kept = replace(self.kept, sessions=sessions)
