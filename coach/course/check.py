"""What a coach should look at again in a course that is not wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.graph import graph_of
from coach.course.keys import shortened
from coach.course.lesson_markup import markup_doubts
from coach.course.likely import meant
from coach.course.recurrence import is_on_leap_days_only, is_seldom
from coach.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Iterator, Sequence

    from coach.course.drafts import Draft
    from coach.course.front_matter import LessonFile
    from coach.course.model import Course, Lesson, Step

# A lesson is read standing up, in half a minute to a minute; what lies outside is usually a slip.
FEWEST_WORDS = 40
MOST_WORDS = 150
LONGEST_MINUTES = 120
# The day a step comes, then cue, obstacle, smaller version and what to do after a miss share the days after.
FEWEST_LESSONS = 4


def warnings(course: Course, cautions: Iterable[str], drafts: Sequence[Draft] = ()) -> tuple[Fault, ...]:
    """Find what looks doubtful, step by step in course order.

    Args:
        course: A course without faults.
        cautions: The keys of the cautions there are.
        drafts: The files it was read from (`Reading.drafts`), for file names and lines.
    """
    by_id = {draft.id: draft for draft in drafts}
    known, alone = frozenset(cautions), _alone(course)
    found: list[Fault] = []
    for step in course.steps:
        doubts = (*_missing(step, alone), *_of_keys(step, known))
        found += _placed(step, doubts, by_id.get(step.id))
    return tuple(found)


def catalogue_warnings(drafts: Iterable[Draft], cautions: Iterable[str]) -> tuple[Fault, ...]:
    """Find what looks doubtful in steps that form no course, whose files have no faults."""
    known = frozenset(cautions)
    steps = [(draft.step(), draft) for draft in drafts]
    return tuple(
        doubt
        for step, draft in steps
        for doubt in _placed(step, (*_no_small_version(step), *_of_keys(step, known)), draft)
    )


def lesson_warnings(content: LessonFile) -> list[Fault]:
    """Find what looks doubtful in the lessons of a file, in the order of their lines."""
    found = [
        (line, reason)
        for lesson, line in zip(content.text.lessons, content.text.lines, strict=True)
        for reason in _doubtful_lesson(lesson)
    ]
    found += markup_doubts(content.text)
    ordered = sorted(found, key=lambda doubt: doubt[0])
    return [*(Fault(content.file, line, reason) for line, reason in ordered), *content.stray_text()]


def _placed(step: Step, doubts: Iterable[tuple[str, str]], draft: Draft | None) -> list[Fault]:
    """Doubts about keys where they stand, then those about the step's lessons."""
    if draft is None or draft.content is None:
        reasons = [reason for _, reason in doubts]
        reasons += [reason for lesson in step.lessons for reason in _doubtful_lesson(lesson)]
        return [Fault(f"{step.id}.md", None, reason) for reason in reasons]
    found = [Fault(draft.file, draft.line_of(key) if key else None, reason) for key, reason in doubts]
    return [*sorted(found, key=lambda doubt: doubt.line or 0), *lesson_warnings(draft.content)]


def _of_keys(step: Step, cautions: frozenset[str]) -> Iterator[tuple[str, str]]:
    yield from _doubtful_minutes(step)
    yield from _unknown_caution(step, cautions)
    yield from _seldom(step)


def _missing(step: Step, alone: Container[str]) -> Iterator[tuple[str, str]]:
    yield from _no_small_version(step)
    if step.is_root and not step.why:
        yield "", "households can begin with it, and it has no “why” that helps them choose"
    if step.waits and len(step.lessons) < FEWEST_LESSONS:
        lessons = _counted(len(step.lessons), "lesson")
        yield "", f"it has {lessons}; {FEWEST_LESSONS} or more help while it is being practised"
    if step.id in alone:
        yield (
            "",
            "it comes after no step and no step comes after it; is that meant?",
        )


def _no_small_version(step: Step) -> Iterator[tuple[str, str]]:
    if not step.small:
        yield "", "it has no small version; “small” is the least that still counts on a bad day"


def _alone(course: Course) -> set[str]:
    """Steps that no link touches, in a course of several."""
    graph = graph_of(course.steps)
    named = {name for needs in graph.values() for name in needs.names}
    return {step for step, needs in graph.items() if not needs.names and step not in named and len(graph) > 1}


def _doubtful_minutes(step: Step) -> Iterator[tuple[str, str]]:
    if step.minutes == 0:
        yield "minutes", "it takes 0 minutes; is that so?"
    if step.minutes > LONGEST_MINUTES:
        yield (
            "minutes",
            f"it takes {step.minutes} minutes, more than {LONGEST_MINUTES}; can it be made smaller?",
        )
    total = sum(line.minutes for line in step.lines)
    if step.lines and total != step.minutes:
        yield "lines", f"the lines add up to {total} minutes, and “minutes” says {step.minutes}"
    if step.lines and step.stop_after is not None and total != step.stop_after:
        yield "stop_after", f"the lines add up to {total} minutes, and “stop_after” says {step.stop_after}"


def _unknown_caution(step: Step, cautions: frozenset[str]) -> Iterator[tuple[str, str]]:
    if step.caution and step.caution not in cautions:
        yield "caution", f"there is no caution “{step.caution}”{meant(step.caution, cautions)}"


def _seldom(step: Step) -> Iterator[tuple[str, str]]:
    if is_on_leap_days_only(step.repeats):
        yield (
            "repeats",
            "it falls on 29 February alone, in leap years at most; BYMONTHDAY=-1 is a month's last day",
        )
    elif is_seldom(step.repeats):
        yield "repeats", "it falls less than once a year; is that meant?"


def _doubtful_lesson(lesson: Lesson) -> Iterator[str]:
    title, words = shortened(lesson.title), len(lesson.markdown.split())
    if not lesson.title.strip():
        yield "this lesson has no title"
    if not FEWEST_WORDS <= words <= MOST_WORDS:
        yield f"the lesson “{title}” has {_counted(words, 'word')}; {FEWEST_WORDS} to {MOST_WORDS} read well"


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
