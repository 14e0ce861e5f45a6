"""A coach's group of invented homes, for an empty database: people, days, consent, questions and a note."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING, NamedTuple

from coach.coaching.following import follow
from coach.coaching.invented import homes
from coach.ground.groups import NOTHING, Enrolment, Group
from coach.ground.people import KEEPER
from coach.ground.questions import Answer, Note, Question
from coach.household import data
from coach.progress.csvform import write_log

if TYPE_CHECKING:
    from datetime import date

    from coach.coaching.invented import InventedHome
    from coach.ground.ports import Context

GROUP, COACH = "rye-field", "mira"
"""The keys of the group and of its coach."""

COACH_NAME, GROUP_NAME = "Mira", "Rye Field, the spring round"

SHOWN_FOR = timedelta(days=182)
"""So long what was chosen to be seen holds."""

QUESTIONS = (
    (4, "table-cleared", "The table is where we work too. Does it count if the laptop stays?", False, 6),
    (11, "table-cleared", "We work at the table, so the laptops stay on it. Does it count?", True, 5),
    (20, "dinner-decided", "What if we are never home at the same time?", False, 4),
    (0, "kitchen-closed", "I fall asleep with the children. Can it be done in the morning?", True, 3),
    (15, "kitchen-closed", "Can the kitchen be closed before dinner?", False, 2),
    (33, "bed-made", "Two of us get up at different hours. Who makes the bed?", False, 1),
)
"""What some of the homes ask: the home, the step, the question, with its name or not, how many days ago."""

BED = (
    "Who makes the bed if we get up at different hours?",
    "Whoever gets up last. If it is not you, pull your own half straight: it counts as the small version.",
)
NOTE = "Short evenings this week: the small version is enough. It keeps the place for the whole one."


class Furnished(NamedTuple):
    """What was entered.

    Attributes:
        coach: The key of the group's coach.
        household: The key of one of its homes, that is through most of the course.
        keeper: The key of that home's keeper.
    """

    coach: str
    household: str
    keeper: str


def furnish_group(context: Context, today: date) -> Furnished:
    """Enter the group with its homes as they stand on a day, for an empty database."""
    at = datetime.combine(today, time(7), UTC)
    _begin_group(context, today, at)
    for home in homes(context.library.course(context.course), today):
        _enter(context, home, at)
    _ask(context, today, at)
    return Furnished(COACH, household_of(0), keeper_of(0))


def household_of(number: int) -> str:
    """The key of one of the homes."""
    return f"rye-field-{number + 1}"


def keeper_of(number: int) -> str:
    """The key of its keeper."""
    return f"keeper-{number + 1}"


def _begin_group(context: Context, today: date, at: datetime) -> None:
    first = today - timedelta(weeks=20)
    group = Group(GROUP, COACH, GROUP_NAME, context.course, first, "en-GB", at - timedelta(weeks=20))
    with context.store.people_writing() as people:
        people.add_person(COACH, COACH_NAME, group.made_at)
    with context.store.coaching_writing() as writing:
        writing.put_coach(COACH, group.made_at)
        writing.put_group(group)
        writing.put_note(Note(GROUP, today, NOTE, at))


def _enter(context: Context, home: InventedHome, at: datetime) -> None:
    household, keeper = household_of(home.number), keeper_of(home.number)
    joined = datetime.combine(home.started, time(18), UTC)
    with context.store.people_writing() as people:
        people.add_person(keeper, home.keeper, joined)
        people.put_member(household, keeper, KEEPER, joined)
    data.load(replace(context, by=keeper), household, write_log(home.log))
    until = None if home.level == NOTHING else (at + SHOWN_FOR).date()
    with context.store.writing(household) as writing:
        writing.put_enrolment(Enrolment(household, home.name, GROUP, joined, home.level, joined, until))
    follow(context, household)


def _ask(context: Context, today: date, at: datetime) -> None:
    answered = Answer("answer-1", GROUP, "bed-made", *BED, for_all=True, answered_at=at)
    with context.store.coaching_writing() as writing:
        for number, (home, step, text, with_name, ago) in enumerate(QUESTIONS, 1):
            asked_at = datetime.combine(today - timedelta(days=ago), time(20), UTC)
            question = Question(
                f"question-{number}",
                GROUP,
                household_of(home),
                keeper_of(home),
                step,
                1,
                text,
                with_name,
                asked_at,
            )
            is_answered = step == answered.step
            writing.put_question(replace(question, answer=answered.id if is_answered else ""))
        writing.put_answer(answered)
