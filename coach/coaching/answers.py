"""What a coach is shown of groups, and a household of what it asked."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

StepState = Literal["practising", "settled", "resting", "set-aside"]


@dataclass(frozen=True, slots=True)
class GroupLine:
    """A group in the list of a coach's groups.

    Attributes:
        group: Its id.
        name: What it is called.
        course: The course it follows: a shipped one's name, or the id of one of the coach's own.
        title: That course's title.
        first_day: The first day on which one of its households may start.
        language: The language of its lessons.
    """

    group: str
    name: str
    course: str
    title: str
    first_day: dt.date
    language: str


@dataclass(frozen=True, slots=True)
class Groups:
    """A coach's groups, in the order in which they were made."""

    groups: tuple[GroupLine, ...]


@dataclass(frozen=True, slots=True)
class CourseChoice:
    """A course that a group can follow."""

    course: str
    title: str
    own: bool


@dataclass(frozen=True, slots=True)
class HouseholdLine:
    """A household that shares by name, as the list of its group has it.

    Attributes:
        household: Its key.
        name: What it is called.
        phase: Where it stands; none: nothing is known of its days yet.
        last_mark: The date of its last mark.
        through: The last day that is taken in.
        came: How many of the course's steps have come.
        settled: How many of them are settled.
        latest: The title of the one that came last; empty: none has.
    """

    household: str
    name: str
    phase: str | None
    last_mark: dt.date | None
    through: dt.date | None
    came: int
    settled: int
    latest: str


@dataclass(frozen=True, slots=True)
class Word:
    """A household that may want a word.

    Attributes:
        household: Its key.
        name: What it is called.
        reasons: Why, each as a sentence.
        text: A text to copy; nothing is sent.
    """

    household: str
    name: str
    reasons: tuple[str, ...]
    text: str


@dataclass(frozen=True, slots=True)
class Households:
    """The households of a group, as far as they let themselves be seen.

    How many are inside sums only is told by these sums alone: a number of today would tell who joins them.

    Attributes:
        used: How many came by an invitation and are there still.
        by_name: How many of them share by name.
        steps: How many steps the course has.
        households: Those by name, in the order of their names, at most a hundred at once.
        words: Those of them that may want a word, in the same order.
        missing: Databases that could not be asked, so that their households are not in it.
    """

    used: int
    by_name: int
    steps: int
    households: tuple[HouseholdLine, ...]
    words: tuple[Word, ...]
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StepLine:
    """A step of the course in a household that shares by name."""

    step: str
    title: str
    state: StepState
    came_on: dt.date
    settled_on: dt.date | None


@dataclass(frozen=True, slots=True)
class AskedByName:
    """A question that a household asked with its name."""

    question: str
    step: str
    title: str
    text: str
    asked_at: dt.datetime
    answered: bool


@dataclass(frozen=True, slots=True)
class HouseholdView:
    """What a household by name lets its coach see, and nothing else."""

    household: str
    name: str
    phase: str | None
    last_mark: dt.date | None
    through: dt.date | None
    steps: tuple[StepLine, ...]
    questions: tuple[AskedByName, ...]


@dataclass(frozen=True, slots=True)
class Waiting:
    """A question that waits for an answer.

    Attributes:
        question: Its id.
        lesson: The number of the lesson it was asked under; 0: one of no step.
        text: What was asked.
        name: The name of the household, where it asked with it; else empty.
        asked_at: When.
        apart: Whether it was said that it stands by itself.
        together: The question it was put together with by hand; empty: none.
    """

    question: str
    lesson: int
    text: str
    name: str
    asked_at: dt.datetime
    apart: bool
    together: str


@dataclass(frozen=True, slots=True)
class Pile:
    """Questions that are alike, or one by itself, to be answered together."""

    questions: tuple[Waiting, ...]


@dataclass(frozen=True, slots=True)
class StepQuestions:
    """What waits under one step."""

    step: str
    title: str
    piles: tuple[Pile, ...]


@dataclass(frozen=True, slots=True)
class Answered:
    """What was answered.

    Attributes:
        answer: Its id.
        step: The step under which it stands.
        title: That step's title.
        question: The question in the coach's words; empty: it is not for all.
        text: The answer.
        for_all: Whether it stands below the lessons of that step for all of the group.
        answered_at: When.
        asked: How many questions it answers.
    """

    answer: str
    step: str
    title: str
    question: str
    text: str
    for_all: bool
    answered_at: dt.datetime
    asked: int


@dataclass(frozen=True, slots=True)
class Questions:
    """What a group asked: what waits, by step in the course's order; and the answers, the latest first."""

    waiting: tuple[StepQuestions, ...]
    answered: tuple[Answered, ...]


@dataclass(frozen=True, slots=True)
class NoteView:
    """What a coach says to a group on a date."""

    on: dt.date
    text: str


@dataclass(frozen=True, slots=True)
class Notes:
    """Everything a coach says to a group, the latest date first."""

    notes: tuple[NoteView, ...]


@dataclass(frozen=True, slots=True)
class OwnQuestion:
    """What a household asked, with its answer.

    Attributes:
        question: Its id.
        step: The step under whose lesson it stands; empty: a lesson of no step.
        title: That step's title; empty for none.
        lesson: The number of that lesson; 0: none.
        text: What was asked.
        with_name: Whether the coach sees the household's name beside it.
        asked_at: When.
        answer: The answer; none yet.
        answered_at: When that was given.
    """

    question: str
    step: str
    title: str
    lesson: int
    text: str
    with_name: bool
    asked_at: dt.datetime
    answer: str | None
    answered_at: dt.datetime | None


@dataclass(frozen=True, slots=True)
class SaidToAll:
    """A question of somebody of the group in the coach's words, and its answer."""

    answer: str
    step: str
    title: str
    question: str
    text: str
    answered_at: dt.datetime


@dataclass(frozen=True, slots=True)
class OwnQuestions:
    """What a household has of its coach.

    Attributes:
        questions: What it asked, in that order.
        answers: What was answered to all of its group, in that order.
        note: What the coach says today; none where nothing is said, or it was put away.
    """

    questions: tuple[OwnQuestion, ...]
    answers: tuple[SaidToAll, ...]
    note: NoteView | None
