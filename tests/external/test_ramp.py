"""How long the shipped course takes to bring its steps in.

Common practice, no source: beginners' programmes run 21 or 31 days. The course takes the first of them, and
with four weeks stays within the second at its gentle pace.
"""

from __future__ import annotations

import pytest

from coach.coaching.lessons_folder import shipped_lessons
from coach.course.reader import load_course
from coach.progress.ramp import ramp

COURSE = load_course(shipped_lessons() / "three-weeks")


@pytest.mark.parametrize(("pace", "days"), [("standard", 21), ("gentle", 28)])
@pytest.mark.parametrize("root", [step.id for step in COURSE.roots])
def test_the_course_is_brought_in_over_21_or_28_days(root: str, pace: str, days: int) -> None:
    before, by_then = ramp(COURSE, root, pace, days - 1), ramp(COURSE, root, pace, days)
    waiting = {step.id for step in COURSE.steps if step.waits}
    assert waiting - set(before.settled)
    assert waiting <= set(by_then.settled)


def test_the_course_names_the_days_it_keeps() -> None:
    assert COURSE.ramp_days == 21
