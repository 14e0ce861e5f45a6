"""The store without a database: plain values in a dictionary, for trying use cases out."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import replace
from itertools import count, islice
from typing import TYPE_CHECKING

from coach.errors import AlreadyStarted, NotStarted
from coach.ground.rows import Marked, RawRow, ReadRows, Signed
from coach.progress.log import MARKING, TOLD
from coach.store.limits import check_plan, check_rows
from coach.store.log_rows import Pen
from coach.store.memory_coaching import MemoryCoaching
from coach.store.memory_home import Home, Observed, Observing, latest_of, stays, with_whole
from coach.store.memory_people import MemoryPeople, MemoryPeopleWriting
from coach.store.whole import check_whole

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence
    from datetime import date, datetime, time

    from coach.ground.answered import Answered
    from coach.ground.people import Member
    from coach.ground.plan_rows import Asked, PlannedRow, PlanRow
    from coach.ground.ports import CourseVersion, Household
    from coach.ground.rows import SavedStanding, Thinning, WrittenRow
    from coach.progress.log import Row
    from coach.store.memory_kept import Kept


class MemoryStore(MemoryCoaching, MemoryPeople):
    """Households in memory; one transaction writes at a time, readers see the last one that ended."""

    def __init__(self) -> None:
        super().__init__()
        self._versions = count(1)

    def trouble(self) -> str | None:
        """Nothing: memory has no place that it could be taken from."""
        return None

    def version(self, household_id: str) -> Household | None:
        """The household's own values."""
        return self._with_members(self._home(household_id)).household

    @contextmanager
    def reading(self, household_id: str) -> Iterator[MemoryReading]:
        """The household as it stands now, whatever is written meanwhile."""
        home = self._with_members(self._home(household_id))
        yield MemoryReading(household_id, home, self.kept)

    @contextmanager
    def writing(self, household_id: str) -> Iterator[MemoryWriting]:
        """A transaction that writes: kept when the block ends, forgotten if it raises."""
        with self._turns:
            home = self._with_members(self._home(household_id))
            writing = MemoryWriting(household_id, home, self._versions, self.kept)
            yield writing
            self._homes[household_id], self.kept = writing.home, writing.kept
            if writing.cleared:
                self._clear_people(household_id, home)

    @contextmanager
    def people_writing(self) -> Iterator[MemoryPeopleWriting]:
        """A transaction that writes about people: kept when the block ends, forgotten if it raises."""
        with self._turns:
            writing = MemoryPeopleWriting(self.kept, self._writers())
            yield writing
            self.kept = writing.kept
            for household_id in writing.grown & self._homes.keys():
                home = self._homes[household_id]
                if home.household is not None:
                    grown = replace(home.household, version=next(self._versions))
                    self._homes[household_id] = replace(home, household=grown)

    def close(self) -> None:
        """There is nothing to close."""

    def _writers(self) -> frozenset[str]:
        return frozenset(pen.by for home in self._homes.values() for pen in home.written)

    def _clear_people(self, household_id: str, before: Home) -> None:
        people = MemoryPeopleWriting(self.kept, self._writers())
        people.clear(household_id)
        for person in {pen.by for pen in before.written}:
            people.forget_person(person)
        self.kept = people.kept
        self.forget_questions(household_id)

    def _home(self, household_id: str) -> Home:
        return self._homes.get(household_id, Home())

    def _with_members(self, home: Home) -> Home:
        if home.household is None:
            return home
        number = len(self.kept.members_of(home.household.id))
        group = "" if home.enrolment is None else home.enrolment.group
        return replace(home, household=replace(home.household, members=number, group=group))


class MemoryReading(Observed):
    """One household's data as it stood when the transaction began."""

    def __init__(self, household_id: str, home: Home, kept: Kept) -> None:
        self._id = household_id
        self.home = home
        self.kept = kept

    def household(self) -> Household | None:
        """The household, or None before its start."""
        return self.home.household

    def rows(self, since: date | None = None) -> Sequence[Row]:
        """The log in the order written; with `since`, only rows dated on or after it."""
        return [row for row in self.home.rows if since is None or row.date >= since]

    def log(self, since: date | None = None) -> ReadRows:
        """The same, with the rows that are none beside it; here there are none such."""
        return ReadRows(self.rows(since))

    def raw_log(self) -> Sequence[RawRow]:
        """The log as text."""
        return [RawRow(str(row.date), row.what.value, row.step, row.value) for row in self.home.rows]

    def marked_at(self, since: date) -> Sequence[Marked]:
        """When the marks dated on or after a date were written, but for the excused ones."""
        written = zip(self.home.rows, self.home.written, strict=True)
        return [
            Marked(row.date, row.step, pen.tapped_at or pen.at)
            for row, pen in written
            if row.date >= since and row.what in TOLD
        ]

    def signed(self, first: date, last: date) -> Sequence[Signed]:
        """For each date and step between two dates the last row that marks it or takes its mark back."""
        found: dict[tuple[date, str], Signed] = {}
        for row, pen in zip(self.home.rows, self.home.written, strict=True):
            if first <= row.date <= last and row.what in MARKING:
                found.pop((row.date, row.step), None)
                at = pen.tapped_at or pen.at
                found[row.date, row.step] = Signed(row.date, row.step, row.what, pen.by, at, pen.version)
        return list(found.values())

    def names(self) -> Sequence[str]:
        """For each row of the log, in the order written, what the one who wrote it is called, or nothing."""
        return [self.kept.names.get(pen.by, "") for pen in self.home.written]

    def members(self) -> Sequence[Member]:
        """Who belongs to the household, in the order in which they joined."""
        return self.kept.members_of(self._id)

    def names_of(self, people: Collection[str]) -> Mapping[str, str]:
        """What people are called, by their keys, whether they belong to it still or not."""
        return {person: self.kept.names[person] for person in people if person in self.kept.names}

    def answered(self, request_id: str, since: datetime) -> Answered | None:
        """How a request of that id was answered, if that was no earlier than an instant."""
        return self.kept.answer(self._id, request_id, since)

    def courses(self) -> Sequence[CourseVersion]:
        """The versions of its course, oldest first."""
        return [version for _, version in sorted(self.home.courses.items())]

    def course_content(self, digest: str) -> str:
        """The version of that digest as JSON."""
        return self.home.contents[digest]

    def standing(self, before: date, digests: Sequence[str]) -> SavedStanding | None:
        """The latest saved standing of one of these digests whose `through` is earlier than `before`."""
        return latest_of(self.home.standings.values(), before, digests)

    def plans(self, asked: Sequence[Asked]) -> Sequence[list[tuple[str, str]]]:
        """What holds now of the plan, for everything asked for."""
        return [self._part(one) for one in asked]

    def _part(self, asked: Asked) -> list[tuple[str, str]]:
        held = {row.key: row.value for row in self.home.plan if row.what == asked.what}
        return [(key, value) for key, value in sorted(held.items()) if value and asked.holds(key)]

    def plan_all(self) -> Sequence[tuple[str, str, str]]:
        """Everything that holds now of the plan."""
        held = {(row.what, row.key): row.value for row in self.home.plan}
        return [(what, key, value) for (what, key), value in sorted(held.items()) if value]

    def plan_history(self, what: str, key: str, most: int = 50) -> Sequence[PlanRow]:
        """The latest rows of one key of the plan, the newest first."""
        found = (row for row in reversed(self.home.plan) if (row.what, row.key) == (what, key))
        return list(islice(found, most))

    def saved_plan(self, name: str, before: date, digest: str) -> SavedStanding | None:
        """The latest saved fold of that name and digest whose `through` is earlier than `before`."""
        named = [saved for (folded, _), saved in self.home.plan_states.items() if folded == name]
        return latest_of(named, before, (digest,))


class MemoryWriting(Observing, MemoryReading):
    """The same with the right to write."""

    def __init__(self, household_id: str, home: Home, versions: Iterator[int], kept: Kept) -> None:
        super().__init__(household_id, home, kept)
        self._versions = versions
        self._replacing = False
        self.cleared = False

    def create(self, household: Household) -> None:
        """Write the household's own values; AlreadyStarted if there are some."""
        if self.home.household is not None:
            raise AlreadyStarted("This household has started already.")
        created = replace(household, id=self._id, version=next(self._versions))
        self.home = replace(self.home, household=created)

    def settings(self, zone: str, day_starts: time, week_starts: str | None = None) -> None:
        """Change the zone and the hour now in force, and with `week_starts` the day a week begins on."""
        household = self._require()
        self._grow(zone=zone, day_starts=day_starts, week_starts=week_starts or household.week_starts)

    def follow(self, course: str) -> None:
        """Let the household follow the course of that name from now on; its versions so far stay."""
        self._grow(course=course)

    def append(
        self,
        rows: Sequence[Row],
        logged_at: datetime,
        request_id: str | None = None,
        by: str = "",
        tapped_at: datetime | None = None,
    ) -> bool:
        """Append rows in order; False, with nothing written, if the request id was used before."""
        check_rows(rows, logged_at, request_id)
        self._require()
        if request_id in self.home.requests:
            return False
        if rows:
            self._grow()
            version = None if self._replacing else self._require().version
            self._add(rows, Pen(self._id, logged_at, request_id, by, version, tapped_at))
        return True

    def wrote(self, request_id: str) -> bool:
        """Whether a request of that id has written rows already, of the log or of the plan."""
        return request_id in self.home.requests | self.home.plan_requests

    def add_course(self, version: CourseVersion, content: str) -> None:
        """Add a version of the course with its content; one of the same date is replaced."""
        self._grow()
        courses = {**self.home.courses, version.since: version}
        self.home = replace(
            self.home, courses=courses, contents={**self.home.contents, version.digest: content}
        )

    def save_standings(self, saved: Sequence[SavedStanding], thinning: Thinning | None = None) -> None:
        """Keep standings in the place of those of the same dates; old ones are thinned out."""
        self._require()
        kept = {on: one for on, one in self.home.standings.items() if stays(on, thinning)}
        self.home = replace(self.home, standings=kept | {one.through: one for one in saved})

    def keep_answer(self, request_id: str, answered: Answered, at: datetime, before: datetime) -> None:
        """Keep an answer for when its request is sent again; those given before an instant are let go of."""
        self._require()
        self.kept = self.kept.with_answer(self._id, request_id, (at, answered), before)

    def put_plan(
        self,
        rows: Sequence[PlanRow],
        logged_at: datetime,
        request_id: str | None = None,
        by: str = "",
    ) -> bool:
        """Append rows of the plan in order; False, with nothing written, if the request id was used."""
        check_plan(rows, logged_at, request_id)
        self._require()
        if request_id in self.home.plan_requests:
            return False
        if rows:
            self._grow()
            self._drop_plan_states(min(row.date for row in rows))
            requests = self.home.plan_requests | ({request_id} if request_id is not None else set())
            self.home = replace(
                self.home,
                plan=(*self.home.plan, *rows),
                planned=(*self.home.planned, *(logged_at for _ in rows)),
                planned_by=(*self.home.planned_by, *(by for _ in rows)),
                plan_requests=requests,
            )
        return True

    def save_plan(self, name: str, saved: SavedStanding, thinning: Thinning | None = None) -> None:
        """Keep a fold of the plan in the place of one of the same name and date; old ones are thinned out."""
        self._require()
        kept = {
            (folded, on): one
            for (folded, on), one in self.home.plan_states.items()
            if folded != name or stays(on, thinning)
        }
        self.home = replace(self.home, plan_states={**kept, (name, saved.through): saved})

    def replace_log(self, household: Household, rows: Sequence[Row], logged_at: datetime) -> None:
        """Put rows in the place of the log and all that follows from it; the plan stays."""
        before = self.home
        self.home = Home(
            plan=before.plan,
            planned=before.planned,
            planned_by=before.planned_by,
            plan_requests=before.plan_requests,
            enrolment=before.enrolment,
        )
        self.create(household)
        self._replacing = True
        self.append(rows, logged_at)
        self._replacing = False

    def take_in(self, household: Household, log: Sequence[WrittenRow], plan: Sequence[PlannedRow]) -> None:
        """Put these in the place of the log, of the plan, and of the household's own values."""
        check_whole(log, plan)
        self.home = Home(enrolment=self.home.enrolment)
        self.create(household)
        self.home = with_whole(self.home, log, plan)

    def clear(self) -> None:
        """Delete everything of this household: its plan too, its people, and what lets them in."""
        self.home, self.kept = Home(), self.kept.without_answers(self._id)
        self.cleared = True

    def _add(self, rows: Sequence[Row], pen: Pen) -> None:
        first = min(row.date for row in rows)
        self._drop_plan_states(first)
        self.home = replace(
            self.home,
            rows=(*self.home.rows, *rows),
            written=(*self.home.written, *(pen for _ in rows)),
            requests=self.home.requests | ({pen.request_id} if pen.request_id is not None else set()),
            standings={through: saved for through, saved in self.home.standings.items() if through < first},
        )

    def _drop_plan_states(self, on: date) -> None:
        kept = {of: saved for of, saved in self.home.plan_states.items() if saved.through < on}
        self.home = replace(self.home, plan_states=kept)

    def _grow(self, **changes: object) -> None:
        household = self._require()
        grown = replace(household, version=next(self._versions), **changes)  # type: ignore[arg-type]  # fields by name
        self.home = replace(self.home, household=grown)

    def _require(self) -> Household:
        if self.home.household is None:
            raise NotStarted("This household has not started: choose its first step.")
        return self.home.household
