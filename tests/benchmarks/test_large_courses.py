"""A course larger than anybody follows is read, checked and drawn in two seconds, or refused."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

import pytest

from benchmarks.conftest import TODAY
from coach.coaching.courses import table
from coach.coaching.folder_check import check
from coach.course.layout import picture
from coach.course.reader import load_course, read_course
from coach.progress.log import Row, What
from coach.progress.replay import replay
from course.large_courses import chain, dense, large_course, roots

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

SECONDS = 2.0


def seconds_of(work: Callable[[], object], what: str) -> float:
    """The processor time that some work takes."""
    begun = time.process_time()
    work()
    spent = time.process_time() - begun
    print(f"\n{what}: {spent:.2f} s")
    return spent


@pytest.mark.parametrize(("steps", "after"), [(300, chain), (499, chain), (499, dense)])
def test_a_long_course_is_read_checked_drawn_and_followed_in_two_seconds_each(
    tmp_path: Path, steps: int, after: Callable[[int], str]
) -> None:
    folder = large_course(tmp_path, steps, after)
    assert seconds_of(lambda: read_course(folder), "read") < SECONDS
    assert check(folder).faults == ()
    assert seconds_of(lambda: check(folder), "check") < SECONDS
    course = load_course(folder)
    assert seconds_of(lambda: picture(course.steps), "layout") < SECONDS
    assert seconds_of(lambda: table(course), "table") < SECONDS
    rows = [Row(TODAY, What.START, "", "")]
    assert seconds_of(lambda: replay(course, rows, TODAY), "replay") < SECONDS


def test_three_hundred_steps_to_begin_with_are_drawn_and_refused_in_two_seconds(tmp_path: Path) -> None:
    folder = large_course(tmp_path, 300, roots)
    course = load_course(folder)
    assert seconds_of(lambda: picture(course.steps), "layout") < SECONDS
    assert seconds_of(lambda: check(folder), "check") < SECONDS


def test_two_thousand_steps_are_refused_at_once(tmp_path: Path) -> None:
    folder = large_course(tmp_path, 2_000, chain)
    assert seconds_of(lambda: check(folder), "check") < SECONDS / 4
