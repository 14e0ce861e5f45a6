"""Groups of households under one coach, what a household lets be seen, and the ports to where that is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple, Protocol

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from contextlib import AbstractContextManager
    from datetime import date, datetime

    from coach.ground.answered import Answered

Level = Literal["nothing", "counted", "by name"]
Ending = Literal["open", "settled", "set aside", "lapsed", "left"]

NOTHING: Level = "nothing"
COUNTED: Level = "counted"
BY_NAME: Level = "by name"


_GROUP, _BROUGHT, _VERSION = "group:", "brought:", "version:"


def group_course(group: str) -> str:
    """The name under which a household of a group has its course: which one that is, the group says."""
    return f"{_GROUP}{group}"


def brought_course(course: str) -> str:
    """The name under which a household has a course that was brought here as a file."""
    return f"{_BROUGHT}{course}"


def group_named(course: str) -> str | None:
    """The group whose course a name means; None for a course that no group says."""
    return course.removeprefix(_GROUP) if course.startswith(_GROUP) else None


def brought_named(course: str) -> str | None:
    """The id of the course that was brought here and is meant by a name; None for another course."""
    return course.removeprefix(_BROUGHT) if course.startswith(_BROUGHT) else None


def one_version(digest: str) -> str:
    """The name under which a household that left its group has its course: that version, and none later."""
    return f"{_VERSION}{digest}"


def version_named(course: str) -> str | None:
    """The digest of the one version that a name means; None for a course that goes on."""
    return course.removeprefix(_VERSION) if course.startswith(_VERSION) else None


def is_kept(course: str) -> bool:
    """Whether a name means a course that is kept in the database, and not one of the folder's."""
    return course.startswith((_GROUP, _BROUGHT, _VERSION))


@dataclass(frozen=True, slots=True)
class Group:
    """Households that began together under one coach.

    Attributes:
        id: Its key.
        coach: The person who coaches it.
        name: What it is called.
        course: The course it follows: a shipped one's name, or the id of one that the coach brought.
        first_day: The first day on which one of its households may start.
        language: The language of its lessons, as BCP 47 writes it: "en-GB".
        made_at: When it was made, aware.
    """

    id: str
    coach: str
    name: str
    course: str
    first_day: date
    language: str
    made_at: datetime


@dataclass(frozen=True, slots=True)
class Enrolment:
    """A household where many are hosted: what it is called, whose group it is in, and what may be seen of it.

    Attributes:
        household: Its key.
        name: What the household is called.
        group: The group it is in; empty: none.
        joined_at: When it came into the group, aware.
        level: What its keeper lets the coach see.
        level_at: When that was chosen, aware.
        level_until: The last date on which it holds; None: for `nothing`, which has no end.
    """

    household: str
    name: str
    group: str
    joined_at: datetime
    level: Level
    level_at: datetime
    level_until: date | None

    def seen_on(self, day: date) -> Level:
        """What the coach may see on a date: what was chosen, while it holds."""
        return self.level if self.level_until is not None and day <= self.level_until else NOTHING


@dataclass(frozen=True, slots=True)
class KeptCourse:
    """A course that a coach brought, as one version of it was checked.

    Attributes:
        digest: The version's digest.
        coach: The person whose it is; empty: the house's own, which whoever is here can follow.
        course: The course's id, the same for all its versions.
        title: Its title.
        content: The course as JSON, as `coach.course.jsonform` writes it.
        packed: The file it came in.
        added_at: When it was added, aware.
    """

    digest: str
    coach: str
    course: str
    title: str
    content: str
    packed: bytes
    added_at: datetime


class HeldVersion(NamedTuple):
    """From a date on a group's households follow this version of its course."""

    since: date
    digest: str


@dataclass(frozen=True, slots=True)
class Question:
    """What a household asked its coach under a lesson.

    Attributes:
        id: Its key.
        group: The group it was asked in.
        household: The household that asked.
        person: Who asked; empty: the household alone.
        step: The step whose lesson it stands under; empty: a lesson of no step.
        lesson: The number of that lesson from 1; 0: none.
        text: What was asked, plain text.
        with_name: Whether the coach may see the household's name beside it.
        asked_at: When, aware.
        together: The id of the question it is put together with; empty: it stands by itself.
        apart: Whether the coach said that it stands by itself, so that nothing is suggested again.
        answer: The id of its answer; empty: none yet.
    """

    id: str
    group: str
    household: str
    person: str
    step: str
    lesson: int
    text: str
    with_name: bool
    asked_at: datetime
    together: str = ""
    apart: bool = False
    answer: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a coach answered to one or several questions.

    Attributes:
        id: Its key.
        group: The group.
        step: The step whose lesson it stands under.
        question: The question as the coach words it for all, without names; empty: it is not for all.
        text: The answer.
        for_all: Whether it stands below that lesson for all of the group.
        answered_at: When, aware.
    """

    id: str
    group: str
    step: str
    question: str
    text: str
    for_all: bool
    answered_at: datetime


class Note(NamedTuple):
    """What a coach says to a group on a date."""

    group: str
    on: date
    text: str
    made_at: datetime


class Beside(NamedTuple):
    """What stands beside a lesson of a household, read by one statement.

    Attributes:
        note: What the coach says that day.
        asked: What the household asked under the lesson's step, or was answered lately, in the order in which
            it was asked, each with its answer.
        said: What was answered to all of the group under that step, in the order in which it was.
    """

    note: Note | None
    asked: Sequence[tuple[Question, Answer | None]]
    said: Sequence[Answer]


@dataclass(frozen=True, slots=True)
class Spell:
    """One household's time with one step of its course, from its introduction to its first end.

    Attributes:
        step: The step.
        digest: The version of the course that held when it was introduced.
        entered_on: The date on which it was introduced.
        days: Household days from then on, paused ones not counted, up to its end or to the last closed day;
            the day of introduction is 1.
        ending: How it ended; `open` while it has not.
        ended_on: The date of that end; None while open.
        state: Where the step stands now: practising, settled, resting or set-aside.
        settled_on: The date on which it settled; None: it has not.
        outcomes: Its outcomes so far, kept or missed.
        sunday_days: The days as of the last Sunday that is taken in; 0: it had not begun by then.
        sunday_ending: How it stood as of that Sunday.
        pace: The pace the household followed when it was introduced.
    """

    step: str
    digest: str
    entered_on: date
    days: int
    ending: Ending
    ended_on: date | None
    state: str
    settled_on: date | None
    outcomes: int
    sunday_days: int
    sunday_ending: Ending
    pace: str = ""


@dataclass(frozen=True, slots=True)
class Followed:
    """How far a household's days are saved for its coach, and what follows from them; never single marks.

    Attributes:
        through: The last closed day that is taken in.
        started_on: The date of its start.
        phase: Its phase on that day.
        last_mark: The date of its last mark; None: it has none.
        due_since: Days since then on which a list was due.
        weeks: Its phase at the end of each week since the start, the first week first.
    """

    through: date
    started_on: date
    phase: str
    last_mark: date | None
    due_since: int
    weeks: tuple[str, ...]


class Paced(NamedTuple):
    """How many spells of a step, begun at a pace, ended so on that day of theirs, or are open after so many.

    Attributes:
        pace: The pace that was followed when they began.
        days: The day.
        ending: How they ended.
        households: How many.
    """

    pace: str
    days: int
    ending: Ending
    households: int


class Ended(NamedTuple):
    """How many spells of a version's step ended so on that day of theirs, or are open after so many.

    Attributes:
        digest: The version of the course that held when they began.
        step: The step.
        days: The day.
        ending: How they ended.
        level: What those households let be seen.
        households: How many.
    """

    digest: str
    step: str
    days: int
    ending: Ending
    level: Level
    households: int


class Weeks(NamedTuple):
    """How many households that started on a date were in these phases at the ends of their weeks since.

    Attributes:
        started_on: The date.
        weeks: A phase for each week that is over, the first one first.
        level: What those households let be seen.
        households: How many.
    """

    started_on: date
    weeks: tuple[str, ...]
    level: Level
    households: int


class SeenHousehold(NamedTuple):
    """A household with what is saved of its days; None while nothing is."""

    enrolment: Enrolment
    followed: Followed | None


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
