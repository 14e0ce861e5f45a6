"""Futures set out from exactly where a household stands: followed on, they agree with those never stopped."""

from __future__ import annotations

from dataclasses import fields
from random import Random
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.conduct import Same, marks_of
from coach.pace.falls import Falls, days_from
from coach.pace.following import Follower
from coach.pace.opening import LAPSED, REBUILDING, Opened
from coach.pace.present import present, rulebook_of
from coach.progress.journal import Version, journal
from coach.progress.replay import begin, open_on
from pace.random_homes import Chronicle, random_course, random_start, random_wishes

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from coach.pace.block import Block
    from coach.pace.present import Present

HOUSEHOLDS = 4
BEFORE, AFTER = 40, 40
SAME = (
    "open", "settled", "introduced", "rank", "strength", "left", "known", "resting", "sum_kept",
    "sum_counted", "gap", "empty_run", "lapsed", "day_kept", "day_outcomes", "had_checklist", "was_paused",
    "was_lapsed",
)  # fmt: skip


def test_a_household_taken_up_on_its_fortieth_day_goes_on_like_one_never_put_down() -> None:
    phases: set[int] = set()
    for seed in range(45, 75):
        random = Random(seed)  # noqa: S311  a story, not a secret
        course = random_course(random)
        wishes = random_wishes(random, course, HOUSEHOLDS, BEFORE + AFTER)
        wishes.paused[BEFORE + 1 :] = False
        book = Chronicle(course, days_from(random_start(random), BEFORE + AFTER), wishes)
        generator = np.random.default_rng(seed)
        chances = Same(np.full(HOUSEHOLDS, 0.7, np.float32), 0.1, 0.3)
        book.live_until(BEFORE, chances, generator)
        opened = book.open_only(BEFORE, generator.random(HOUSEHOLDS) < 0.6)
        draws = generator.random((AFTER, len(course.steps) + 1, HOUSEHOLDS), np.float32)
        for number in range(HOUSEHOLDS):
            one = np.array([number])
            now, theirs = _taken_up(book, number)
            assert now.opened.phase[0] == opened.phase[number]
            phases.add(int(opened.phase[number]))
            same = Same(chances.adherence[one], chances.begins, chances.ends)
            _go_on(book, (book.block.taken(one), _of(opened, one)), (theirs, now), same, draws[:, :, one])
    assert {LAPSED, REBUILDING} <= phases


def _of(opened: Opened, one: NDArray[np.int64]) -> Opened:
    """An opening for one of the households."""
    return Opened(**{part.name: getattr(opened, part.name)[..., one] for part in fields(opened)})


def _taken_up(book: Chronicle, number: int) -> tuple[Present, Follower]:
    """A household as replay finds it on its fortieth day, and who follows it from there."""
    log = journal([Version(book.days[0], book.course)], book.lived.rows[number])
    state = begin(log)
    opening = open_on(state, log, book.days[BEFORE])
    rules, days = rulebook_of(state), book.days[BEFORE:]
    falls = Falls(rules.repeats, days)
    return present(state, opening, rules, falls, 1, AFTER), Follower(rules, days, None, falls)


def _go_on(
    book: Chronicle,
    never_put_down: tuple[Block, Opened],
    taken_up: tuple[Follower, Present],
    chances: Same,
    draws: NDArray[np.float32],
) -> None:
    reference, opened = never_put_down
    theirs, now = taken_up
    quiet = np.array([False])
    marks = marks_of(now.block, now.opened, quiet, chances.kept(0), draws[0][:-1])
    theirs.closed(now.block, 0, now.opened, marks)
    book.follower.closed(reference, BEFORE, opened, marks)
    for ahead in range(1, AFTER):
        mine = theirs.day(now.block, ahead, chances, draws[ahead], quiet)
        other = book.follower.day(reference, BEFORE + ahead, chances, draws[ahead], quiet)
        assert mine.opened.phase == other.opened.phase
        assert mine.opened.introduced == other.opened.introduced
        for name in SAME:
            assert np.array_equal(getattr(now.block, name), getattr(reference, name)), name
        quiet = mine.quiet
