"""Numbers of a course in texts that belong to no course: names in braces, such as `{half_life}`."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from coach.course.likely import meant

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from coach.course.model import Course, Lesson, Settles

_WORDS = (
    "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty",
)  # fmt: skip
_BRACED = re.compile(r"(\{\{)|(\}\})|\{([A-Za-z][A-Za-z0-9_]*)\}")
_DAYS_A_WEEK = 7
_MOST_WEEKS = 8
_MOST_OF = 20
_DECIMALS = 9
TWICE = "; write “{{” and “}}” if braces are meant"


def number_words(number: float) -> str:
    """A number as a sentence has it: a whole one up to twenty in a word, any other in figures."""
    whole = int(number)
    return _WORDS[whole] if whole == number and 0 <= whole < len(_WORDS) else f"{number:.6g}"


def time_words(days: float) -> str:
    """A number of days as people say it: “a week”, “two weeks”, “ten days”."""
    weeks, over = divmod(days, _DAYS_A_WEEK)
    if not over and 1 <= weeks <= _MOST_WEEKS:
        return "a week" if weeks == 1 else f"{number_words(weeks)} weeks"
    return "a day" if days == 1 else f"{number_words(days)} days"


def usual_settles(course: Course) -> Settles:
    """The rule by which most waiting steps settle; of two as common the earlier."""
    rules = [step.settles for step in course.steps if step.waits] or [step.settles for step in course.steps]
    return Counter(rules).most_common(1)[0][0]


def _share_words(share: float) -> str:
    found = Fraction(share).limit_denominator(_MOST_OF)
    return f"{number_words(found.numerator)} in {number_words(found.denominator)}"


def _enough(of: int, share: float) -> str:
    """How many of so many lines reach a share, compared as the rule does."""
    reached = (kept for kept in range(1, of) if round(kept / of, _DECIMALS) >= round(share, _DECIMALS))
    return number_words(next(reached, of))


def _after_a_miss(course: Course) -> float:
    return float(0.5 ** (1 / course.strength.half_life_missed))


VALUES: Mapping[str, Callable[[Course, Settles], str]] = {
    "lapse_after": lambda course, _: number_words(course.lapse_after),
    "lapse_time": lambda course, _: time_words(course.lapse_after),
    "half_life": lambda course, _: number_words(course.returning.half_life),
    "half_life_time": lambda course, _: time_words(course.returning.half_life),
    "ramp_days": lambda course, _: number_words(course.ramp_days),
    "ramp_time": lambda course, _: time_words(course.ramp_days),
    "at_once": lambda course, _: number_words(course.at_once),
    "kept": lambda _, usual: number_words(usual.kept),
    "of": lambda _, usual: number_words(usual.of),
    "good_day": lambda course, _: _share_words(course.returning.good_day),
    "good_of_2": lambda course, _: _enough(2, course.returning.good_day),
    "good_of_3": lambda course, _: _enough(3, course.returning.good_day),
    "good_of_6": lambda course, _: _enough(6, course.returning.good_day),
    "days_to_95": lambda course, _: number_words(course.strength.days_to_95),
    "missed_percent": lambda course, _: f"{100 * (1 - _after_a_miss(course)):.2g}",
    "half_after_a_miss": lambda course, _: f"{50 * _after_a_miss(course):.0f}",
}
"""Every name and what it stands for, given the course and the rule by which most of its steps settle."""


def filled(text: str, course: Course, pace: str = "standard") -> str:
    """A text with the course's numbers in it.

    A name with a capital letter (`{Kept}`) begins a sentence. `{{` and `}}` become braces; any other brace
    stays one.

    Args:
        text: Markdown, or a title.
        course: Whose numbers.
        pace: The household's, which adds to the numbers by which steps settle.
    """
    if "{" not in text and "}" not in text:
        return text
    usual = usual_settles(course).at_pace(course.paces.get(pace, 0))

    def value(found: re.Match[str]) -> str:
        name = found[3]
        if name is None:
            return found[0][0]
        word = VALUES[_plain(name)](course, usual) if _plain(name) in VALUES else found[0]
        return word[:1].upper() + word[1:] if name[:1].isupper() else word

    return _BRACED.sub(value, text)


def filled_lesson(lesson: Lesson, course: Course, pace: str = "standard") -> Lesson:
    """A lesson with the course's numbers in its title and its text."""
    title, markdown = (filled(text, course, pace) for text in (lesson.title, lesson.markdown))
    return replace(lesson, title=title, markdown=markdown)


def unknown_names(text: str) -> Iterator[tuple[int, str]]:
    """Names in braces that stand for nothing, each with its line from 0 and why it is refused."""
    for number, line in enumerate(text.split("\n")):
        for found in _BRACED.finditer(line):
            if found[3] and _plain(found[3]) not in VALUES:
                alike = meant(_plain(found[3]), VALUES)
                yield number, f"“{found[0]}” names no number of a course{alike or TWICE}"


def pace_words(course: Course) -> dict[str, str]:
    """For every pace, how often a new step comes while everything is kept."""
    usual = usual_settles(course)
    days = {
        pace: max(1, round(usual.at_pace(added).kept / course.at_once))
        for pace, added in course.paces.items()
    }
    return {pace: f"With everything kept, a new step about {_every(count)}." for pace, count in days.items()}


def settling_words(course: Course) -> dict[str, str]:
    """For every pace, how often a step has to be kept to settle; most or many steps where they differ."""
    usual = usual_settles(course)
    alike = Counter(step.settles == usual for step in course.steps)
    who = "A step settles once it is" if not alike[False] else "Many steps settle once they are"
    if alike[False] and alike[True] > alike[False]:
        who = "Most steps settle once they are"
    rules = {pace: usual.at_pace(added) for pace, added in course.paces.items()}
    return {pace: f"{who} kept{_of_the_last(rule)}." for pace, rule in rules.items()}


def _of_the_last(rule: Settles) -> str:
    return "" if rule.of == 1 else f" {rule.kept} of the last {rule.of} times"


def _every(days: int) -> str:
    return {1: "every day", 2: "every other day"}.get(days) or f"once in {number_words(days)} days"


def _plain(name: str) -> str:
    return name[:1].lower() + name[1:]
