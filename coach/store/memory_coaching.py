"""Groups, and what households let be seen, without a database: plain values, for trying use cases out."""

from __future__ import annotations

import threading
from collections import Counter
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, TypeVar

from coach.ground.groups import NOTHING
from coach.ground.questions import Beside
from coach.ground.spells import Ended, Paced, SeenHousehold, Weeks
from coach.store.memory_home import Home, in_order

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence
    from datetime import date, datetime

    from coach.ground.answered import Answered
    from coach.ground.groups import Enrolment, Group, HeldVersion, KeptCourse
    from coach.ground.questions import Answer, Note, Question
    from coach.ground.spells import Spell

K = TypeVar("K")
V = TypeVar("V")


@dataclass(frozen=True, slots=True)
class KeptCoaching:
    """What is kept of groups; replaced as a whole when a transaction ends."""

    coaches: dict[str, datetime] = field(default_factory=dict)
    groups: dict[str, Group] = field(default_factory=dict)
    courses: dict[tuple[str, str], KeptCourse] = field(default_factory=dict)
    versions: dict[tuple[str, date], HeldVersion] = field(default_factory=dict)
    questions: dict[str, Question] = field(default_factory=dict)
    answers: dict[str, Answer] = field(default_factory=dict)
    notes: dict[tuple[str, date], Note] = field(default_factory=dict)
    published: dict[tuple[str, str, date], str] = field(default_factory=dict)
    given: dict[tuple[str, str], tuple[datetime, Answered]] = field(default_factory=dict)

    def without(self, household: str) -> KeptCoaching:
        """The same without anything that a household asked."""
        stay = {key: one for key, one in self.questions.items() if one.household != household}
        return replace(self, questions=stay)


class MemoryCoachingReading:
    """Groups as they stood when the transaction began."""

    def __init__(self, kept: KeptCoaching) -> None:
        self.kept = kept

    def is_coach(self, person: str) -> bool:
        """Whether somebody may coach groups."""
        return person in self.kept.coaches

    def groups(self, coach: str) -> Sequence[Group]:
        """Somebody's groups, in the order in which they were made."""
        theirs = [group for group in self.kept.groups.values() if group.coach == coach]
        return sorted(theirs, key=lambda group: (group.made_at, group.id))

    def group(self, group: str) -> Group | None:
        """One of them."""
        return self.kept.groups.get(group)

    def kept_courses(self, coach: str) -> Sequence[KeptCourse]:
        """Every version of the courses somebody brought, the newest first, without their files."""
        theirs = [replace(one, packed=b"") for (of, _), one in self.kept.courses.items() if of == coach]
        in_order = sorted(theirs, key=lambda one: one.digest)
        return sorted(in_order, key=lambda one: one.added_at, reverse=True)

    def kept_course(self, digest: str, coach: str = "") -> KeptCourse | None:
        """One version, with its file: the coach's own where several have brought the same files."""
        found = [one for (_, kept), one in self.kept.courses.items() if kept == digest]
        return min(found, key=lambda one: (one.coach != coach, one.added_at), default=None)

    def held_versions(self, group: str) -> Sequence[HeldVersion]:
        """Since when which versions hold in a group, the earliest first."""
        return sorted(one for (of, _), one in self.kept.versions.items() if of == group)

    def questions(self, group: str, household: str = "") -> Sequence[Question]:
        """What was asked in a group, or by one of its households, in the order in which it was."""
        asked = [
            one
            for one in self.kept.questions.values()
            if one.group == group and household in {"", one.household}
        ]
        return sorted(asked, key=lambda one: (one.asked_at, one.id))

    def answers(self, group: str) -> Sequence[Answer]:
        """What was answered in a group, in the order in which it was."""
        given = [one for one in self.kept.answers.values() if one.group == group]
        return sorted(given, key=lambda one: (one.answered_at, one.id))

    def note(self, group: str, on: date) -> Note | None:
        """What the coach says to a group on a date."""
        return self.kept.notes.get((group, on))

    def beside(self, group: str, household: str, step: str, on: date, since: datetime) -> Beside:
        """What stands beside a household's lesson on a date; answers since an instant are given lately."""
        given = {one.id: one for one in self.answers(group)}
        asked = [(one, given.get(one.answer)) for one in self.questions(group, household)]
        those = [
            (replace(one, together="", apart=False), answer)
            for one, answer in asked
            if one.step == step or (answer is not None and answer.answered_at >= since)
        ]
        said = [one for one in given.values() if one.for_all and one.step == step]
        return Beside(self.note(group, on), those, said)

    def notes(self, group: str) -> Sequence[Note]:
        """Everything the coach says to a group, the latest date first."""
        said = [note for (of, _), note in self.kept.notes.items() if of == group]
        return sorted(said, key=lambda note: note.on, reverse=True)

    def published(self, group: str, name: str) -> Sequence[tuple[date, str]]:
        """What was shown of a group under a name, each with the date it is as of, the oldest first."""
        return sorted(
            (as_of, content)
            for (of, called, as_of), content in self.kept.published.items()
            if (of, called) == (group, name)
        )

    def answered(self, household: str, request_id: str, since: datetime) -> Answered | None:
        """How a request of that id was answered, if that was no earlier than an instant."""
        at, found = self.kept.given.get((household, request_id), (since, None))
        return found if at >= since else None


class MemoryCoachingWriting(MemoryCoachingReading):
    """The same with the right to write."""

    def put_coach(self, person: str, at: datetime) -> None:
        """Let somebody coach groups."""
        self.kept = replace(self.kept, coaches={person: at, **self.kept.coaches})

    def put_group(self, group: Group) -> None:
        """Keep a group in the place of the one of its id."""
        self.kept = replace(self.kept, groups={**self.kept.groups, group.id: group})

    def add_course(self, course: KeptCourse) -> None:
        """Keep a version of a course; nothing if it is there."""
        key = (course.coach, course.digest)
        self.kept = replace(self.kept, courses={key: course, **self.kept.courses})

    def hold_version(self, group: str, version: HeldVersion) -> None:
        """Let a version hold from a date on, in the place of one that does from that date."""
        self.kept = replace(self.kept, versions={**self.kept.versions, (group, version.since): version})

    def drop_version(self, group: str, since: date) -> None:
        """Let none begin on that date."""
        self.kept = replace(self.kept, versions=_without(self.kept.versions, (group, since)))

    def put_question(self, question: Question) -> None:
        """Keep a question in the place of the one of its id."""
        self.kept = replace(self.kept, questions={**self.kept.questions, question.id: question})

    def put_answer(self, answer: Answer) -> None:
        """Keep an answer in the place of the one of its id."""
        self.kept = replace(self.kept, answers={**self.kept.answers, answer.id: answer})

    def put_note(self, note: Note) -> None:
        """Keep a note in the place of the one of its group and date."""
        self.kept = replace(self.kept, notes={**self.kept.notes, (note.group, note.on): note})

    def drop_note(self, group: str, on: date) -> None:
        """Say nothing on that date."""
        self.kept = replace(self.kept, notes=_without(self.kept.notes, (group, on)))

    def publish(self, group: str, name: str, as_of: date, content: str) -> None:
        """Keep what was shown of a group under a name, as of a date."""
        shown = {**self.kept.published, (group, name, as_of): content}
        self.kept = replace(self.kept, published=shown)

    def keep_answer(
        self, household: str, request_id: str, answered: Answered, at: datetime, before: datetime
    ) -> None:
        """Keep an answer for when its request is sent again; those given before an instant are let go of."""
        stay = {
            key: held for key, held in self.kept.given.items() if key[0] != household or held[0] >= before
        }
        self.kept = replace(self.kept, given={**stay, (household, request_id): (at, answered)})


class MemoryCounting:
    """The coach's counts over all households in memory.

    Attributes:
        missing: The databases that could not be asked: there is none.
    """

    missing: tuple[str, ...] = ()

    def __init__(self, homes: Mapping[str, Home]) -> None:
        self._homes = homes

    def enrolments(self, group: str) -> Sequence[Enrolment]:
        """The households of a group, in the order in which they came."""
        found = [one.enrolment for one in self._homes.values() if one.enrolment is not None]
        theirs = [one for one in found if one.group == group]
        return sorted(theirs, key=lambda one: (one.joined_at, one.household))

    def seen(self, group: str, day: date) -> Sequence[SeenHousehold]:
        """Those that may be seen on a date, counted or by name, with what is saved of their days."""
        return [
            SeenHousehold(one, self._homes[one.household].followed)
            for one in self.enrolments(group)
            if one.seen_on(day) != NOTHING
        ]

    def ended(self, group: str, day: date) -> Sequence[Ended]:
        """Spells of those that may be seen on a date, put together as they stood on the last Sunday."""
        counted = Counter(
            (spell.digest, spell.step, spell.sunday_days, spell.sunday_ending, one.enrolment.level)
            for one in self.seen(group, day)
            for spell in self._homes[one.enrolment.household].spells
            if spell.sunday_days > 0
        )
        return [Ended(*key, number) for key, number in sorted(counted.items())]

    def paced(self, group: str, day: date, step: str) -> Sequence[Paced]:
        """A step's spells of those that may be seen on a date, put together by pace, as of last Sunday."""
        counted = Counter(
            (spell.pace, spell.sunday_days, spell.sunday_ending)
            for one in self.seen(group, day)
            for spell in self._homes[one.enrolment.household].spells
            if spell.step == step and spell.sunday_days > 0
        )
        return [Paced(*key, number) for key, number in sorted(counted.items())]

    def weeks(self, group: str, day: date) -> Sequence[Weeks]:
        """The weeks of those that may be seen on a date, put together, in the order of their starts."""
        counted = Counter(
            (one.followed.started_on, one.followed.weeks, one.enrolment.level)
            for one in self.seen(group, day)
            if one.followed is not None
        )
        return [Weeks(*key, number) for key, number in sorted(counted.items())]

    def spells(self, households: Collection[str]) -> Sequence[tuple[str, Spell]]:
        """The spells of some households, with whose each is, in the order of households and dates."""
        return [
            (household, spell)
            for household in sorted(set(households) & self._homes.keys())
            for spell in in_order(self._homes[household].spells)
        ]

    def behind(self, through: date, most: int) -> Sequence[str]:
        """Households that may be seen and whose saved days end before a date, the oldest first."""
        found = []
        for key, home in self._homes.items():
            if home.enrolment is None or home.enrolment.seen_on(through) == NOTHING:
                continue
            if home.followed is None or home.followed.through < through:
                found.append((home.followed is not None, home.followed and home.followed.through, key))
        return [key for *_, key in sorted(found, key=lambda one: (one[0], str(one[1]), one[2]))[:most]]

    def lingering(self, day: date, most: int) -> Sequence[str]:
        """Households of which days are saved, though they may not be seen any more on a date."""
        found = (
            key
            for key, home in self._homes.items()
            if home.followed is not None
            and home.enrolment is not None
            and home.enrolment.seen_on(day) == NOTHING
        )
        return sorted(found)[:most]


def _without(kept: dict[K, V], gone: K) -> dict[K, V]:
    return {key: held for key, held in kept.items() if key != gone}


class MemoryCoaching:
    """Where groups are kept in memory, beside the households."""

    def __init__(self) -> None:
        super().__init__()
        self._homes: dict[str, Home] = {}
        self._turns = threading.Lock()
        self._coaching = KeptCoaching()

    @contextmanager
    def coaching_reading(self) -> Iterator[MemoryCoachingReading]:
        """Groups as they stand now, whatever is written meanwhile."""
        yield MemoryCoachingReading(self._coaching)

    @contextmanager
    def coaching_writing(self) -> Iterator[MemoryCoachingWriting]:
        """A transaction that writes about groups: kept when the block ends, forgotten if it raises."""
        with self._turns:
            writing = MemoryCoachingWriting(self._coaching)
            yield writing
            self._coaching = writing.kept

    @contextmanager
    def counting(self) -> Iterator[MemoryCounting]:
        """The coach's counts over all households as they stand now."""
        yield MemoryCounting(dict(self._homes))

    def forget_questions(self, household_id: str) -> None:
        """Let go of what a household asked."""
        self._coaching = self._coaching.without(household_id)
