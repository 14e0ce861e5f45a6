"""People and what lets them in, inside one transaction of a database."""

from __future__ import annotations

import time as clock
from datetime import UTC
from typing import TYPE_CHECKING, Any, cast

from coach.ground.people import Member, Shown, SignIn
from coach.store import people_statements as statements
from coach.store.answered import answer_to, keep_answer
from coach.store.coaching_statements import CLEAR_QUESTIONS
from coach.store.homes import SqlHomesReading, SqlHomesWriting, code_of, session_of
from coach.store.instants import aware
from coach.store.sending import SqlSendingReading, SqlSendingWriting, clear_sending, drop_theirs
from coach.store.wall import DOOR, look_into, looking_for, read_once
from coach.store.ways_in import SqlWaysInReading, SqlWaysInWriting, drop_ways_in

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from sqlalchemy import Connection

    from coach.ground.answered import Answered
    from coach.ground.people import Code, CodeKind, Role, Session


class SqlPeopleReading(SqlSendingReading, SqlHomesReading, SqlWaysInReading):
    """People inside one transaction that reads."""

    def members(self, household: str) -> Sequence[Member]:
        """Who belongs to a household, in the order in which they joined."""
        return members_of(self.connection, household)

    def names_of(self, people: Collection[str]) -> Mapping[str, str]:
        """What people are called, by their keys."""
        return names_of(self.connection, people)

    def sessions(self, household: str) -> Sequence[Session]:
        """A household's devices and programs, those seen last first."""
        return [session_of(row) for row in self._run(statements.SESSIONS, household=household).all()]

    def codes(self, household: str) -> Sequence[Code]:
        """The codes that lead into a household, the newest first."""
        return [code_of(row) for row in self._run(statements.CODES, household=household).all()]

    def code(self, secret: str) -> Code | None:
        """The code of that hash."""
        found = self._run(statements.CODE, shown=secret).one_or_none()
        return None if found is None else code_of(found)

    def sign_ins(self, household: str, most: int) -> Sequence[SignIn]:
        """What happened at its door lately, the newest first."""
        found = self._run(statements.SIGN_INS, household=household, most=most).all()
        return [SignIn(aware(at), *rest) for at, *rest in found]

    def tally(self, key: str) -> tuple[datetime, int] | None:
        """Since when something was counted, and how often it was tried."""
        found = self._run(statements.TALLY, counted=key).one_or_none()
        return None if found is None else (aware(found[0]), found[1])

    def answered(self, household: str, request_id: str, since: datetime) -> Answered | None:
        """How a household's request of that id was answered, if that was no earlier than an instant."""
        look_into(self.connection, household)
        return answer_to(self.connection, household, request_id, since)


class SqlPeopleWriting(SqlPeopleReading, SqlSendingWriting, SqlHomesWriting, SqlWaysInWriting):
    """The same with the right to write."""

    def __init__(self, connection: Connection) -> None:
        super().__init__(connection)
        self._grown: set[str] = set()
        if connection.dialect.name != "sqlite":
            self._run(statements.ONE_AT_A_TIME)

    def add_person(self, person: str, name: str, at: datetime) -> None:
        """Write somebody down."""
        self._run(statements.ADD_PERSON, person_id=person, name=name, made_at=at.astimezone(UTC))

    def rename(self, person: str, name: str) -> None:
        """Call somebody something else."""
        self.connection.execute(statements.RENAME.values(name=name), {"person": person})

    def forget_person(self, person: str) -> None:
        """Delete somebody who belongs to no household, coaches nobody and has written no row."""
        self._forget([person])

    def put_member(self, household: str, person: str, role: Role, at: datetime) -> None:
        """Let somebody belong to a household, or change what they are there."""
        change = statements.CHANGE_MEMBER.values(role=role)
        if self.connection.execute(change, {"household": household, "person": person}).rowcount == 0:
            values = {"household_id": household, "person_id": person, "role": role}
            self._run(statements.ADD_MEMBER, **values, since=at.astimezone(UTC))
        self.grow(household)

    def drop_member(self, household: str, person: str) -> None:
        """Let somebody belong to a household no more; what they have there ends with it."""
        drop_theirs(self.connection, household, person)
        self._run(statements.DROP_THEIR_SESSIONS, household=household, person=person)
        self._run(statements.DROP_MEMBER, household=household, person=person)
        self.grow(household)

    def add_session(self, secret: str, session: Session) -> None:
        """Let a device or a program in."""
        self._run(
            statements.ADD_SESSION,
            secret=secret,
            session_id=session.id,
            household_id=session.household,
            person_id=session.person,
            kind=session.kind,
            scope=session.scope,
            name=session.name,
            made_at=session.made_at.astimezone(UTC),
            seen_at=session.seen_at.astimezone(UTC),
            ends_at=session.ends_at.astimezone(UTC),
            as_coach=session.as_coach,
        )

    def drop_session(self, household: str, session: str) -> None:
        """End one; nothing if there is none of that id."""
        self._run(statements.DROP_SESSION, household=household, session=session)

    def drop_over(self, household: str, now: datetime, unseen: datetime) -> None:
        """Forget those that are over by now, and the browsers that were last seen by an instant."""
        instants = {"instant": now.astimezone(UTC), "unseen": unseen.astimezone(UTC)}
        self._run(statements.DROP_OVER, household=household, **instants)

    def name_session(self, household: str, session: str, name: str) -> None:
        """Call one something else."""
        change = statements.CHANGE_SESSION.values(name=name)
        self.connection.execute(change, {"household": household, "session": session})

    def touch(self, session: str, at: datetime) -> None:
        """Write down that one was seen."""
        self.connection.execute(statements.TOUCH.values(seen_at=at.astimezone(UTC)), {"session": session})

    def put_code(self, secret: str, code: Code) -> None:
        """Keep a code, in the place of one of the same hash."""
        self.drop_code(secret)
        self._run(
            statements.ADD_CODE,
            secret=secret,
            household_id=code.household,
            kind=code.kind,
            person_id=code.person,
            made_by=code.made_by,
            uses=code.uses,
            wrong=code.wrong,
            made_at=code.made_at.astimezone(UTC),
            ends_at=code.ends_at.astimezone(UTC),
            group_id=code.group,
            name=code.name,
            begins=code.begins,
        )

    def drop_code(self, secret: str) -> None:
        """Forget a code."""
        self._run(statements.DROP_CODE, shown=secret)

    def wrong(self, household: str, kind: CodeKind, at: datetime) -> None:
        """Count a wrong try against every code of a kind into a household that holds at that instant."""
        self._run(statements.COUNT_WRONG, household=household, of_kind=kind, instant=at.astimezone(UTC))

    def keep_codes(self, household: str, kind: CodeKind, most: int, group: str = "") -> None:
        """Keep the newest codes of a kind into a household or a group, so many, and forget the others."""
        self._run(statements.KEEP_CODES, household=household, of_kind=kind, most=most, group=group)

    def drop_codes(self, household: str, ended: datetime | None = None) -> None:
        """Forget a household's codes: all, or those that were over by an instant."""
        if ended is None:
            self._run(statements.DROP_CODES, household=household)
        else:
            self._run(statements.DROP_CODES_OVER, household=household, instant=ended.astimezone(UTC))

    def add_sign_in(self, household: str, happened: SignIn, most: int) -> None:
        """Write down what happened at the door, and let go of what is beyond so many."""
        last = self._run(statements.LAST_SIGN_IN, household=household).scalar_one()
        self._run(
            statements.ADD_SIGN_IN,
            household_id=household,
            seq=last + 1,
            at=happened.at.astimezone(UTC),
            way=happened.way,
            outcome=happened.outcome,
            person_id=happened.person,
            name=happened.name,
            address=happened.address,
        )
        self._run(statements.DROP_SIGN_INS, household=household, number=last + 1 - most)

    def put_tally(self, key: str, since: datetime, count: int) -> None:
        """Keep a count in the place of the one before."""
        self._run(statements.DROP_TALLY, counted=key)
        self._run(statements.ADD_TALLY, key=key, since=since.astimezone(UTC), count=count)

    def drop_tallies(self, before: datetime) -> None:
        """Forget the counts that began before an instant."""
        self._run(statements.DROP_TALLIES, instant=before.astimezone(UTC))

    def keep_answer(
        self, household: str, request_id: str, answered: Answered, at: datetime, before: datetime
    ) -> None:
        """Keep an answer for when its request is sent again; those given before an instant are let go of."""
        look_into(self.connection, household)
        keep_answer(self.connection, (household, request_id), answered, at, before)

    def clear(self, household: str) -> None:
        """Delete everything of one household: members, devices, codes and what happened at its door."""
        look_into(self.connection, household)
        known = self._known(household)
        clear_people(self.connection, household)
        self._forget(known)
        self.grow(household)

    def grow(self, household: str) -> None:
        """Give a household that has started its next version, since its pages show its people."""
        if household in self._grown:
            return
        look_into(self.connection, household)
        version = self._run(statements.VERSION, household=household).scalar_one_or_none()
        if version is not None:
            later = max(version + 1, clock.time_ns() // 1000)
            self.connection.execute(statements.GROW.values(version=later), {"household": household})
        self._grown.add(household)

    def _known(self, household: str) -> list[str]:
        """Who belongs to a household, and who is named by its rows though they do not any more."""
        return known_to(self.connection, household)

    def _forget(self, people: Sequence[str]) -> None:
        """Delete those of them whom nothing names any more."""
        forget_people(self.connection, people)


def known_to(connection: Connection, household: str) -> list[str]:
    """Who belongs to a household, and who is named by its rows though they do not any more."""
    return list(connection.execute(statements.KNOWN, {"household": household}).scalars())


def clear_people(connection: Connection, household: str) -> None:
    """Let nobody belong to a household or come into it any more, and forget what happened at its door."""
    clear_sending(connection, household)
    for statement in (*statements.CLEAR, CLEAR_QUESTIONS):
        connection.execute(statement, {"household": household})


def forget_people(connection: Connection, people: Sequence[str]) -> None:
    """Delete those of them who belong to no household, coach nobody and have written no row.

    The passkeys and the recovery sheet of one who wrote rows end too: there is nothing left that they open.
    """
    end_ways_in(connection, people)
    for person in people:
        with looking_for(connection, person):
            connection.execute(statements.FORGET_PERSON, {"person": person})


def end_ways_in(connection: Connection, people: Sequence[str]) -> None:
    """End the passkeys and the sheets of those of them who belong to no household and coach nobody."""
    for person in people:
        with looking_for(connection, person):
            drop_ways_in(connection, person)


def members_of(connection: Connection, household: str) -> list[Member]:
    """Who belongs to a household, in the order in which they joined."""
    found = connection.execute(statements.MEMBERS, {"household": household}).all()
    return [member_of(row) for row in found]


def member_of(row: Sequence[Any]) -> Member:
    """A member as a row of the database tells of one."""
    person, name, role, since = row
    return Member(person, name, cast("Role", role), aware(since))


def names_of(connection: Connection, people: Collection[str]) -> dict[str, str]:
    """What people are called, by their keys, whether they belong to a household or not."""
    found = connection.execute(statements.NAMES, {"people": sorted(people)}).all()
    return {row.person_id: row.name for row in found}


def shown_by(connection: Connection, secret: str) -> Shown | None:
    """The session of that hash with the one whose it is, by one read."""
    [found] = read_once(connection, DOOR, (statements.SHOWN, {"shown": secret}))
    if not found:
        return None
    *session, name, role, coach = found[0]
    return Shown(session_of(session), name, role, coach is not None)
