"""The ports to where groups of households are kept, and to what a coach counts of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from contextlib import AbstractContextManager
    from datetime import date, datetime

    from coach.ground.answered import Answered
    from coach.ground.groups import Enrolment, Group, HeldVersion, KeptCourse
    from coach.ground.questions import Answer, Beside, Note, Question
    from coach.ground.spells import Ended, Followed, Paced, SeenHousehold, Spell, Weeks


class Counting(Protocol):
    """The coach's counts: the only statements that touch more than one household; they only read.

    Attributes:
        missing: The names of the databases that could not be asked, so that their households are not in it.
    """

    missing: tuple[str, ...]

    def enrolments(self, group: str) -> Sequence[Enrolment]:
        """The households of a group, in the order in which they came."""

    def seen(self, group: str, day: date) -> Sequence[SeenHousehold]:
        """Those that may be seen on a date, counted or by name, with what is saved of their days."""

    def ended(self, group: str, day: date) -> Sequence[Ended]:
        """Spells of those that may be seen on a date, put together as they stood on the last Sunday."""

    def paced(self, group: str, day: date, step: str) -> Sequence[Paced]:
        """A step's spells of those that may be seen on a date, put together by pace, as of last Sunday."""

    def weeks(self, group: str, day: date) -> Sequence[Weeks]:
        """The weeks of those that may be seen on a date, put together, in the order of their starts."""

    def spells(self, households: Collection[str]) -> Sequence[tuple[str, Spell]]:
        """The spells of some households, with whose each is, in the order of households and dates."""

    def behind(self, through: date, most: int) -> Sequence[str]:
        """Households that may be seen and whose saved days end before a date, the oldest first."""

    def lingering(self, day: date, most: int) -> Sequence[str]:
        """Households of which days are saved, though they may not be seen any more on a date."""


class CoachingReading(Protocol):
    """Groups, courses, questions and notes, inside one short transaction."""

    def is_coach(self, person: str) -> bool:
        """Whether somebody may coach groups."""

    def groups(self, coach: str) -> Sequence[Group]:
        """Somebody's groups, in the order in which they were made."""

    def group(self, group: str) -> Group | None:
        """One of them."""

    def kept_courses(self, coach: str) -> Sequence[KeptCourse]:
        """Every version of the courses somebody brought, the newest first, without the files they came in."""

    def kept_course(self, digest: str, coach: str = "") -> KeptCourse | None:
        """One version, with its file: the coach's own where several have brought the same files."""

    def held_versions(self, group: str) -> Sequence[HeldVersion]:
        """Since when which versions hold in a group, the earliest first."""

    def questions(self, group: str, household: str = "") -> Sequence[Question]:
        """What was asked in a group, or by one of its households, in the order in which it was."""

    def answers(self, group: str) -> Sequence[Answer]:
        """What was answered in a group, in the order in which it was."""

    def note(self, group: str, on: date) -> Note | None:
        """What the coach says to a group on a date."""

    def beside(self, group: str, household: str, step: str, on: date, since: datetime) -> Beside:
        """What stands beside a household's lesson on a date; answers since an instant are given lately."""

    def notes(self, group: str) -> Sequence[Note]:
        """Everything the coach says to a group, the latest date first."""

    def published(self, group: str, name: str) -> Sequence[tuple[date, str]]:
        """What was shown of a group under a name, each with the date it is as of, the oldest first."""

    def answered(self, household: str, request_id: str, since: datetime) -> Answered | None:
        """How a request of that id was answered, if that was no earlier than an instant."""


class CoachingWriting(CoachingReading, Protocol):
    """The same with the right to write."""

    def keep_answer(
        self, household: str, request_id: str, answered: Answered, at: datetime, before: datetime
    ) -> None:
        """Keep an answer as `Writing.keep_answer` does, for what was written about groups."""

    def put_coach(self, person: str, at: datetime) -> None:
        """Let somebody coach groups."""

    def put_group(self, group: Group) -> None:
        """Keep a group in the place of the one of its id."""

    def add_course(self, course: KeptCourse) -> None:
        """Keep a version of a course; nothing if it is there."""

    def hold_version(self, group: str, version: HeldVersion) -> None:
        """Let a version hold from a date on, in the place of one that does from that date."""

    def drop_version(self, group: str, since: date) -> None:
        """Let none begin on that date."""

    def put_question(self, question: Question) -> None:
        """Keep a question in the place of the one of its id."""

    def put_answer(self, answer: Answer) -> None:
        """Keep an answer in the place of the one of its id."""

    def put_note(self, note: Note) -> None:
        """Keep a note in the place of the one of its group and date."""

    def drop_note(self, group: str, on: date) -> None:
        """Say nothing on that date."""

    def publish(self, group: str, name: str, as_of: date, content: str) -> None:
        """Keep what was shown of a group under a name, as of a date."""


class Coaching(Protocol):
    """Where groups and what belongs to them are kept."""

    def coaching_reading(self) -> AbstractContextManager[CoachingReading]:
        """A transaction that only reads."""

    def coaching_writing(self) -> AbstractContextManager[CoachingWriting]:
        """A transaction that writes: committed when the block ends, rolled back if it raises."""

    def counting(self) -> AbstractContextManager[Counting]:
        """A transaction that reads of many households, wherever they live."""


class EnrolledReading(Protocol):
    """What stands beside a household's log where many are hosted; part of `Reading`."""

    def enrolment(self) -> Enrolment | None:
        """What the household is called and lets be seen; None where it is the only one."""

    def followed(self) -> Followed | None:
        """How far its days are saved for its coach."""

    def saved_spells(self) -> Sequence[Spell]:
        """Its spells as they are saved, in the order of the dates on which they began."""


class EnrolledWriting(EnrolledReading, Protocol):
    """The same with the right to write; part of `Writing`."""

    def put_enrolment(self, enrolment: Enrolment) -> None:
        """Keep it in the place of the one before; the household gets its next version."""

    def save_followed(self, followed: Followed, spells: Sequence[Spell]) -> None:
        """Keep these in the place of what was saved; a cache, so the household's version stays."""

    def drop_followed(self) -> None:
        """Forget what is saved of its days and spells."""
