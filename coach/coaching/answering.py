"""What a group asks its coach: alike ones together, answered once."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from coach.coaching.answers import Answered, Pile, Questions, StepQuestions, Waiting
from coach.coaching.groups import coach_day, group_of
from coach.coaching.rules.alike import Said, piles
from coach.coaching.texts import new_id, tidy_text
from coach.coaching.titles import catalogue_titles, step_titles
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.questions import Answer

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from coach.ground.coaching import CoachingReading, CoachingWriting
    from coach.ground.groups import Enrolment, Group
    from coach.ground.people import Caller
    from coach.ground.ports import Context
    from coach.ground.questions import Question

NO_QUESTION = "There is no such question in this group."
NO_ANSWER = "There is no such answer in this group."
NO_STEP = "lessons of no step"
GONE = "a household that has left"


@dataclass(frozen=True, slots=True)
class Answering:
    """An answer that is to be given.

    Attributes:
        questions: The ids of the questions it answers, all of one step.
        text: The answer.
        for_all: Whether it is to stand below that step's lessons for all of the group.
        question: The question in the coach's words, without names, for all.
    """

    questions: tuple[str, ...]
    text: str
    for_all: bool = False
    question: str = ""


def questions(context: Context, caller: Caller, group: str) -> Questions:
    """What waits, by step and alike ones together, and what was answered.

    Raises:
        Unknown: There is no such group, or it is somebody else's.
    """
    with context.store.coaching_reading() as reading:
        found = group_of(reading, caller, group)
        titles = _titles(context, reading, found)
        asked, answers = reading.questions(group), reading.answers(group)
    still = [one for one in asked if not one.answer]
    known = _names(context, group) if any(one.with_name for one in still) else {}
    names = {one.id: _named(one, known, coach_day(context)) for one in still}
    times = Counter(one.answer for one in asked)
    return Questions(
        tuple(_by_step(still, titles, names)),
        tuple(_answered(one, titles, times[one.id]) for one in reversed(answers)),
    )


def waiting(context: Context, caller: Caller, group: str) -> int:
    """How many questions of a group wait for an answer.

    Raises:
        Unknown: There is no such group, or it is somebody else's.
    """
    with context.store.coaching_reading() as reading:
        group_of(reading, caller, group)
        return sum(not one.answer for one in reading.questions(group))


def keep_apart(context: Context, caller: Caller, group: str, question: str) -> Questions:
    """Say that a question stands by itself; it is not suggested to be like another one again.

    Raises:
        Unknown: There is no such question, or the group is somebody else's.
        NotEditable: It is answered.
    """
    with context.store.coaching_writing() as writing:
        group_of(writing, caller, group)
        asked = writing.questions(group)
        found = _waiting(asked, question)
        writing.put_question(replace(found, apart=True, together=""))
        for other in asked:
            if other.together == question:
                writing.put_question(replace(other, together=""))
    return questions(context, caller, group)


def put_together(context: Context, caller: Caller, group: str, question: str, other: str) -> Questions:
    """Put a question together with another one of its step, to be answered together.

    Raises:
        Unknown: There is no such question, or the group is somebody else's.
        NotEditable: One of them is answered.
        Malformed: They are one, or of two steps.
    """
    with context.store.coaching_writing() as writing:
        group_of(writing, caller, group)
        asked = writing.questions(group)
        found, beside = _waiting(asked, question), _waiting(asked, other)
        if found.id == beside.id or found.step != beside.step:
            raise Malformed("A question is put together with another one of the same step.")
        if beside.together == found.id:
            # What lay with this one comes along, so that the two do not wait for each other.
            writing.put_question(replace(beside, together=""))
        writing.put_question(replace(found, apart=False, together=beside.id))
    return questions(context, caller, group)


def answer(context: Context, caller: Caller, group: str, answering: Answering) -> Answered:
    """Answer one or several questions once; by the same request once more it is the same answer.

    Raises:
        Unknown: There is no such question, or the group is somebody else's.
        NotEditable: One of them was answered meanwhile.
        Malformed: None is named, they are of several steps, or a text says nothing or is too long.
    """
    text, worded = _texts(answering)
    with context.store.coaching_writing() as writing:
        found = group_of(writing, caller, group)
        titles = _titles(context, writing, found)
        made = new_id(context, f"{caller.person} {group}")
        given = next((one for one in writing.answers(group) if one.id == made), None)
        if given is None:
            given = _given(writing, group, answering, Answer(
                made, group, "", worded, text, answering.for_all, context.clock()
            ))  # fmt: skip
        return _answered(given, titles, _times(writing, group, given.id))


def change_answer(
    context: Context, caller: Caller, group: str, answer_id: str, answering: Answering
) -> Answered:
    """Word an answer anew, or let it stand for all or no more; whom it answers stays.

    Raises:
        Unknown: There is no such answer, or the group is somebody else's.
        Malformed: A text says nothing or is too long, or it stands under no step and is to be for all.
    """
    text, worded = _texts(answering)
    with context.store.coaching_writing() as writing:
        found = group_of(writing, caller, group)
        before = next((one for one in writing.answers(group) if one.id == answer_id), None)
        if before is None:
            raise Unknown(NO_ANSWER)
        _refuse_nowhere(before.step, for_all=answering.for_all)
        changed = replace(before, text=text, question=worded, for_all=answering.for_all)
        writing.put_answer(changed)
        return _answered(changed, _titles(context, writing, found), _times(writing, group, changed.id))


def _texts(answering: Answering) -> tuple[str, str]:
    """The answer, and the question as it is worded for all."""
    text = tidy_text(answering.text, "An answer")
    if not answering.for_all:
        return text, ""
    return text, tidy_text(answering.question, "The question, as it stands for all,")


def _given(writing: CoachingWriting, group: str, answering: Answering, bare: Answer) -> Answer:
    """Write an answer down with all that it answers."""
    asked = writing.questions(group)
    those = [_waiting(asked, one) for one in dict.fromkeys(answering.questions)]
    steps = {one.step for one in those}
    if len(steps) != 1:
        raise Malformed("An answer is to one or several questions of one step. Choose which.")
    [step] = steps
    _refuse_nowhere(step, for_all=answering.for_all)
    given = replace(bare, step=step)
    writing.put_answer(given)
    for one in those:
        writing.put_question(replace(one, answer=given.id))
    return given


def _refuse_nowhere(step: str, *, for_all: bool) -> None:
    if for_all and not step:
        raise Malformed(
            "A lesson of no step comes on many days, so what is asked there is answered to those who asked."
        )


def _waiting(asked: Iterable[Question], question: str) -> Question:
    """A question that waits for an answer."""
    found = next((one for one in asked if one.id == question), None)
    if found is None:
        raise Unknown(NO_QUESTION)
    if found.answer:
        raise NotEditable("This question was answered meanwhile. Look at the questions again.")
    return found


def _titles(context: Context, reading: CoachingReading, group: Group) -> dict[str, str]:
    """Titles by step: those of the course in its order, then those of the optional steps, then none."""
    course = step_titles(context, reading, group)
    return {**course, **{key: one for key, one in catalogue_titles(context).items() if key not in course}}


def _names(context: Context, group: str) -> Mapping[str, Enrolment]:
    """The households of a group, for those that asked with their name."""
    with context.store.counting() as counting:
        return {one.household: one for one in counting.enrolments(group)}


def _is_over(asked: Question, enrolment: Enrolment, day: date) -> bool:
    """Whether the consent under which a name was given has run out, which is as if it were lowered."""
    until = enrolment.level_until
    return until is not None and asked.asked_at.date() <= until < day


def _named(one: Question, names: Mapping[str, Enrolment], day: date) -> str:
    """The name beside a question, as far as the coach may see it on a day."""
    if not one.with_name:
        return ""
    enrolment = names.get(one.household)
    if enrolment is None:
        return GONE
    return "" if _is_over(one, enrolment, day) else enrolment.name


def _by_step(
    still: Sequence[Question], titles: Mapping[str, str], names: Mapping[str, str]
) -> Iterator[StepQuestions]:
    place = {step: number for number, step in enumerate(titles)}
    steps = sorted({one.step for one in still}, key=lambda step: (place.get(step, len(place)), step == ""))
    for step in steps:
        those = [one for one in still if one.step == step]
        yield StepQuestions(step, _title(step, titles), tuple(_piles(those, names)))


def _piles(those: Sequence[Question], names: Mapping[str, str]) -> Iterator[Pile]:
    of = {one.id: one for one in those}
    for ids in piles(Said(one.id, one.text, one.together, one.apart) for one in those):
        yield Pile(tuple(_shown(of[one], names) for one in ids))


def _shown(one: Question, names: Mapping[str, str]) -> Waiting:
    name = names.get(one.id, "")
    return Waiting(one.id, one.lesson, one.text, name, one.asked_at, one.apart, one.together)


def _times(reading: CoachingReading, group: str, answer_id: str) -> int:
    """How many questions an answer answers."""
    return sum(one.answer == answer_id for one in reading.questions(group))


def _answered(one: Answer, titles: Mapping[str, str], asked: int) -> Answered:
    return Answered(
        answer=one.id,
        step=one.step,
        title=_title(one.step, titles),
        question=one.question,
        text=one.text,
        for_all=one.for_all,
        answered_at=one.answered_at,
        asked=asked,
    )


def _title(step: str, titles: Mapping[str, str]) -> str:
    return titles.get(step, step) if step else NO_STEP
