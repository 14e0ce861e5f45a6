"""What a household asks its coach under a lesson, and what it was answered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.coaching.answers import NoteView, OwnQuestion, OwnQuestions, SaidToAll
from coach.coaching.notes import is_away
from coach.coaching.texts import new_id, tidy_text
from coach.coaching.titles import catalogue_titles
from coach.errors import NotEditable, Unknown
from coach.ground.questions import Question
from coach.ground.situation import looking
from coach.progress.lessons import lessons_so_far

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from coach.ground.ports import Context
    from coach.ground.questions import Answer
    from coach.ground.situation import Situation

MOST_OPEN = 20
"""Questions of one household that wait for an answer; the coach is one person."""

NO_COACH = "This household is in no group, so there is no coach to ask."
NO_LESSON = "There is no such lesson to ask under. Ask under one that your household has read."


@dataclass(frozen=True, slots=True)
class Asking:
    """What is asked.

    Attributes:
        text: The question.
        step: The step whose lesson it is asked under; empty: a lesson of no step.
        lesson: The number of that lesson; 0: none.
        with_name: Whether the coach may see the household's name beside it.
    """

    text: str
    step: str = ""
    lesson: int = 0
    with_name: bool = False


def ask(context: Context, household: str, asking: Asking) -> OwnQuestions:
    """Ask the coach; by the same request once more it is asked once.

    Raises:
        NotStarted: The household has not started.
        Unknown: It is in no group, or there is no such lesson for it.
        Malformed: The question says nothing, or is too long.
        NotEditable: Too many of its questions wait for an answer.
    """
    text = tidy_text(asking.text, "A question")
    with looking(context, household) as where:
        group = _group_of(where)
        _refuse_unread(where, asking)
    asked = Question(
        id=new_id(context, f"{group} {household}"),
        group=group,
        household=household,
        person=context.by,
        step=asking.step,
        lesson=asking.lesson,
        text=text,
        with_name=asking.with_name,
        asked_at=context.clock(),
    )
    with context.store.coaching_writing() as writing:
        known = writing.questions(group, household)
        if asked.id not in {one.id for one in known}:
            _refuse_too_many(known)
            writing.put_question(asked)
    _show_anew(context, household)
    return own_questions(context, household)


def own_questions(context: Context, household: str) -> OwnQuestions:
    """What a household has of its coach: its questions, what was answered to all, and what is said today.

    Raises:
        NotStarted: The household has not started.
        Unknown: It is in no group.
    """
    with looking(context, household) as where:
        group, titles = _group_of(where), titles_in(where)
        today, put_away = where.today, is_away(where, where.today)
    with context.store.coaching_reading() as reading:
        asked, answers = reading.questions(group, household), reading.answers(group)
        note = None if put_away else reading.note(group, today)
    given = {one.id: one for one in answers}
    return OwnQuestions(
        tuple(own_question(one, given.get(one.answer), titles) for one in asked),
        tuple(said_to_all((one for one in answers if one.for_all), titles)),
        NoteView(note.on, note.text) if note else None,
    )


def titles_in(where: Situation) -> Mapping[str, str]:
    """What the steps are called that have lessons, as the household calls them."""
    ours = {step: place.step.title for step, place in where.standing.steps.items() if not place.own}
    return {**catalogue_titles(where.context), **ours}


def own_question(one: Question, answer: Answer | None, titles: Mapping[str, str]) -> OwnQuestion:
    """A question as the household that asked sees it."""
    return OwnQuestion(
        question=one.id,
        step=one.step,
        title=titles.get(one.step, one.step),
        lesson=one.lesson,
        text=one.text,
        with_name=one.with_name,
        asked_at=one.asked_at,
        answer=answer.text if answer else None,
        answered_at=answer.answered_at if answer else None,
    )


def said_to_all(answers: Iterable[Answer], titles: Mapping[str, str]) -> Iterator[SaidToAll]:
    """What was answered to all of a group, as a household of it sees it."""
    for one in answers:
        title = titles.get(one.step, one.step)
        yield SaidToAll(one.id, one.step, title, one.question, one.text, one.answered_at)


def _group_of(where: Situation) -> str:
    if not where.home.group:
        raise Unknown(NO_COACH)
    return where.home.group


def _refuse_unread(where: Situation, asking: Asking) -> None:
    """Refuse a question under a lesson that the household has not read; its own steps have none."""
    if not asking.step and not asking.lesson:
        return
    place = where.standing.steps.get(asking.step)
    catalogue = where.context.library.catalogue()
    if place is None or (place.own and asking.step not in catalogue):
        raise Unknown(NO_LESSON)
    if not 0 < asking.lesson <= len(lessons_so_far(where.standing, place, catalogue)):
        raise Unknown(NO_LESSON)


def _refuse_too_many(known: Iterable[Question]) -> None:
    if sum(not one.answer for one in known) >= MOST_OPEN:
        raise NotEditable(
            f"{MOST_OPEN} of your questions wait for an answer already. Ask again once some are answered."
        )


def _show_anew(context: Context, household: str) -> None:
    """Let the household's pages be shown anew, as after anything it does."""
    with context.store.writing(household) as writing:
        enrolment = writing.enrolment()
        if enrolment is not None:
            writing.put_enrolment(enrolment)
