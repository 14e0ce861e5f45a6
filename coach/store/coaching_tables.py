"""The tables of groups and of what a household lets its coach see."""

# SQLModel reads these annotations at run time, so they are not postponed here.
from datetime import date, datetime

from sqlalchemy import BigInteger, Boolean, Index, LargeBinary, Text
from sqlmodel import Field

from coach.store.tables import Table, instant


class GroupTable(Table, table=True):
    """Households that began together under one coach.

    Attributes:
        group_id: Its key.
        person_id: The person who coaches it.
        name: What it is called.
        course: A shipped course's name, or the id of one that the coach brought.
        first_day: The first day on which one of its households may start.
        language: The language of its lessons.
        made_at: When it was made, in UTC.
    """

    __tablename__ = "coached_group"
    __table_args__ = (Index(None, "person_id"),)

    group_id: str = Field(primary_key=True, sa_type=Text)
    person_id: str = Field(sa_type=Text)
    name: str = Field(sa_type=Text)
    course: str = Field(sa_type=Text)
    first_day: date
    language: str = Field(sa_type=Text)
    made_at: datetime = instant()


class KeptCourseTable(Table, table=True):
    """A version of a course that a coach brought.

    Attributes:
        digest: The version's digest.
        person_id: The coach.
        course: The course's id, the same for all its versions.
        title: Its title.
        content: The course as JSON.
        packed: The file it came in.
        added_at: When it was added, in UTC.
    """

    __tablename__ = "kept_course"
    __table_args__ = (Index(None, "person_id"),)

    person_id: str = Field(primary_key=True, sa_type=Text)
    digest: str = Field(primary_key=True, sa_type=Text)
    course: str = Field(sa_type=Text)
    title: str = Field(sa_type=Text)
    content: str = Field(sa_type=Text)
    packed: bytes = Field(sa_type=LargeBinary)
    added_at: datetime = instant()


class HeldVersionTable(Table, table=True):
    """From which date on a group follows which version of its course.

    Attributes:
        group_id: The group.
        since: The date.
        digest: The version.
    """

    __tablename__ = "held_version"

    group_id: str = Field(primary_key=True, sa_type=Text)
    since: date = Field(primary_key=True)
    digest: str = Field(sa_type=Text)


class QuestionTable(Table, table=True):
    """What a household asked its coach under a lesson.

    Attributes:
        question_id: Its key.
        group_id: The group it was asked in.
        household_id: The household that asked.
        person_id: Who asked; empty: the household alone.
        step: The step whose lesson it stands under; empty: none.
        lesson: The number of that lesson; 0: none.
        text: What was asked.
        with_name: Whether the coach may see the household's name beside it.
        asked_at: When, in UTC.
        together: The question it is put together with; empty: none.
        apart: Whether the coach said that it stands by itself.
        answer_id: Its answer; empty: none yet.
    """

    __tablename__ = "question"
    __table_args__ = (Index(None, "group_id", "asked_at"), Index(None, "household_id"))

    question_id: str = Field(primary_key=True, sa_type=Text)
    group_id: str = Field(sa_type=Text)
    household_id: str = Field(sa_type=Text)
    person_id: str = Field(sa_type=Text)
    step: str = Field(sa_type=Text)
    lesson: int = Field(sa_type=BigInteger)
    text: str = Field(sa_type=Text)
    with_name: bool = Field(sa_type=Boolean)
    asked_at: datetime = instant()
    together: str = Field(sa_type=Text)
    apart: bool = Field(sa_type=Boolean)
    answer_id: str = Field(sa_type=Text)


class AnswerTable(Table, table=True):
    """What a coach answered.

    Attributes:
        answer_id: Its key.
        group_id: The group.
        step: The step whose lesson it stands under.
        question: The question as the coach words it for all.
        text: The answer.
        for_all: Whether it stands below that lesson for all of the group.
        answered_at: When, in UTC.
    """

    __tablename__ = "answer"
    __table_args__ = (Index(None, "group_id", "answered_at"),)

    answer_id: str = Field(primary_key=True, sa_type=Text)
    group_id: str = Field(sa_type=Text)
    step: str = Field(sa_type=Text)
    question: str = Field(sa_type=Text)
    text: str = Field(sa_type=Text)
    for_all: bool = Field(sa_type=Boolean)
    answered_at: datetime = instant()


class NoteTable(Table, table=True):
    """What a coach says to a group on a date.

    Attributes:
        group_id: The group.
        day: The date.
        text: What is said.
        made_at: When it was written, in UTC.
    """

    __tablename__ = "note"

    group_id: str = Field(primary_key=True, sa_type=Text)
    day: date = Field(primary_key=True)
    text: str = Field(sa_type=Text)
    made_at: datetime = instant()


class PublishedTable(Table, table=True):
    """What was shown of a group, so that nothing shown later tells more than it may beside it.

    Attributes:
        group_id: The group.
        name: What was shown.
        as_of: The date it is as of.
        content: What it said, as JSON.
    """

    __tablename__ = "published"

    group_id: str = Field(primary_key=True, sa_type=Text)
    name: str = Field(primary_key=True, sa_type=Text)
    as_of: date = Field(primary_key=True)
    content: str = Field(sa_type=Text)


class EnrolmentTable(Table, table=True):
    """What a household is called where many are hosted, its group, and what may be seen of it.

    Attributes:
        household_id: The household.
        name: What it is called.
        group_id: The group it is in; empty: none.
        joined_at: When it came into the group, in UTC.
        level: `nothing`, `counted` or `by name`.
        level_at: When that was chosen, in UTC.
        level_until: The last date on which it holds.
    """

    __tablename__ = "enrolment"
    __table_args__ = (Index(None, "group_id", "level"),)

    household_id: str = Field(primary_key=True, sa_type=Text)
    name: str = Field(sa_type=Text)
    group_id: str = Field(sa_type=Text)
    joined_at: datetime = instant()
    level: str = Field(sa_type=Text)
    level_at: datetime = instant()
    level_until: date | None = None


class FollowedTable(Table, table=True):
    """How far a household's days are saved for its coach: a cache that may be emptied at any time.

    Attributes:
        household_id: The household.
        through: The last closed day that is taken in.
        started_on: The date of its start.
        phase: Its phase on that day.
        last_mark: The date of its last mark.
        due_since: Days since then on which a list was due.
        weeks: Its phase at the end of each week since the start, with commas between.
    """

    __tablename__ = "followed"
    __table_args__ = (Index(None, "through"),)

    household_id: str = Field(primary_key=True, sa_type=Text)
    through: date
    started_on: date
    phase: str = Field(sa_type=Text)
    last_mark: date | None = None
    due_since: int = Field(sa_type=BigInteger)
    weeks: str = Field(sa_type=Text)


class SpellTable(Table, table=True):
    """A household's time with a step, as it is saved: a cache that may be emptied at any time.

    Attributes:
        household_id: The household.
        step: The step.
        digest: The version of the course that held when it was introduced.
        entered_on: The date on which it was introduced.
        days: Household days from then on, paused ones not counted.
        ending: `open`, `settled`, `set aside`, `lapsed` or `left`.
        ended_on: The date of that end.
        state: Where the step stands now.
        settled_on: The date on which it settled.
        outcomes: Its outcomes so far.
        sunday_days: The days as of the last Sunday; 0: it had not begun by then.
        sunday_ending: How it stood as of that Sunday.
        pace: The pace that was followed when it was introduced.
    """

    __tablename__ = "spell"

    household_id: str = Field(primary_key=True, sa_type=Text)
    step: str = Field(primary_key=True, sa_type=Text)
    digest: str = Field(sa_type=Text)
    entered_on: date
    days: int = Field(sa_type=BigInteger)
    ending: str = Field(sa_type=Text)
    ended_on: date | None = None
    state: str = Field(sa_type=Text)
    settled_on: date | None = None
    outcomes: int = Field(sa_type=BigInteger)
    sunday_days: int = Field(sa_type=BigInteger)
    sunday_ending: str = Field(sa_type=Text)
    pace: str = Field(sa_type=Text)
