"""What stricter or easier rules cost, against exact paces, plain counting and one household at a time."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import sqrt
from random import Random

import numpy as np
import pytest

from coach.coaching.library import find_course
from coach.course.model import Course, Hold, Settles, Step
from coach.errors import Malformed
from coach.pace.block import fresh
from coach.pace.comparing import (
    ADHERENCES,
    LAPSED_BY,
    LUCK_DAYS,
    LUCK_RATE,
    Asked,
    Compared,
    Quiet,
    compared,
    rules_of,
)
from coach.pace.conduct import Same
from coach.pace.exact import exact
from coach.pace.falls import days_from
from coach.pace.following import Follower
from coach.pace.lapsing import lapsed_within
from coach.pace.rulebook import rulebook_at
from coach.pace.settling import settling
from coach.progress.closing import close_day
from coach.progress.journal import Version, journal
from coach.progress.log import Mark, Row, What
from coach.progress.opening import Phase, open_day
from coach.progress.ramp import A_MONDAY
from coach.progress.replay import begin
from pace.random_homes import START, random_course

SHIPPED = replace(find_course("three-weeks"), hold=Hold(0.0, 7))
RULES = rules_of("2of3,3of4,10of14")
THREE = Course(
    "Three",
    tuple(Step(f"step-{at}", "A step", settles=Settles(2, 3)) for at in range(3)),
    hold=Hold(0.0, 1),
)
# Two at a time, of which there is never more than one: in form alone it is not exact.
IN_FORM = replace(
    THREE,
    at_once=2,
    steps=tuple(
        replace(step, after=(f"step-{at - 1}",) if at else ()) for at, step in enumerate(THREE.steps)
    ),
)
WEEKLY = replace(
    THREE, steps=(replace(THREE.steps[0], repeats="FREQ=WEEKLY;BYDAY=MO,TH"), *THREE.steps[1:]), lapse_after=4
)


def with_rule(course: Course, kept: int, of: int) -> Course:
    steps = (replace(step, settles=Settles(kept, of)) if step.waits else step for step in course.steps)
    return replace(course, steps=tuple(steps))


def days(found: list[Compared]) -> list[list[tuple[int | None, int | None]]]:
    return [[(at.p50, at.p80) for at in one.at] for one in found]


@pytest.mark.parametrize("pace", ["standard", "gentle"])
def test_days_to_finish_are_those_of_the_course_with_that_rule(pace: str) -> None:
    found = compared(SHIPPED, RULES, Asked(pace))
    assert all(one.is_exact for one in found)
    for rule, told in zip(RULES, days(found), strict=True):
        courses = [exact(with_rule(SHIPPED, *rule), pace, chance) for chance in ADHERENCES]
        assert told == [(one.days.quantile(0.5), one.days.quantile(0.8)) for one in courses]


def test_where_a_course_has_holds_they_count_and_most_where_a_rule_is_easy_and_little_is_kept() -> None:
    held = find_course("three-weeks")
    with_holds, without = compared(held, RULES[:2], Asked()), compared(SHIPPED, RULES[:2], Asked())
    assert not any(one.is_exact for one in with_holds)
    more = [
        [(mine.p80 or 0) - (other.p80 or 0) for mine, other in zip(one.at, two.at, strict=True)]
        for one, two in zip(with_holds, without, strict=True)
    ]
    # 60 % kept is what the course's hold asks for; 90 % is far from it.
    assert all(days[0] > 10 and abs(days[-1]) <= 1 for days in more)


def test_luck_is_the_chance_to_settle_within_four_weeks_at_two_days_of_five() -> None:
    found = compared(SHIPPED, RULES, Asked("gentle"))
    for (kept, of), one in zip(RULES, found, strict=True):
        assert one.by_luck == settling(kept + 1, of + 1, LUCK_RATE).within(LUCK_DAYS)
    (two,) = compared(THREE, [(2, 2)], Asked())
    # Settles at the first two kept in a row; counted by going through what the last day was.
    last_kept, last_missed = 0.4, 0.6
    for _ in range(27):
        last_kept, last_missed = 0.4 * last_missed, 0.6 * (last_kept + last_missed)
    assert two.by_luck == pytest.approx(1 - last_kept - last_missed)


def test_what_is_simulated_agrees_with_what_is_exact_within_its_own_error() -> None:
    asked = Asked(households=4000)
    simulated, told = compared(IN_FORM, RULES, asked), compared(THREE, RULES, asked)
    assert not any(one.is_exact for one in simulated)
    assert all(one.is_exact for one in told)
    for rule, one in zip(RULES, days(simulated), strict=True):
        for chance, (p50, p80) in zip(ADHERENCES, one, strict=True):
            true = exact(with_rule(THREE, *rule), "standard", chance).days
            for share, day in ((0.5, p50), (0.8, p80)):
                assert day is not None
                # A day is the first by which the share is reached: so it was not the day before.
                error = 4 * sqrt(share * (1 - share) / asked.households)
                assert true.within(day) >= share - error
                assert true.within(day - 1) <= share + error


def _lapses_by(course: Course, quiet: Quiet, random: Random) -> bool:
    """Whether one household has lapsed by day 60, by the rules of one household."""
    book = journal([Version(A_MONDAY, course)], [Row(A_MONDAY, What.START)])
    state, is_quiet = begin(book), False
    *before, last = days_from(A_MONDAY, LAPSED_BY)[:LAPSED_BY]
    for on in before:
        opening = open_day(state, book, on)
        is_quiet = random.random() < (1 - quiet.ends if is_quiet else quiet.begins)
        listed = () if is_quiet else opening.checklist
        marks = {step: Mark.KEPT if random.random() < 0.7 else Mark.MISSED for step in listed}
        close_day(state, replace(opening, marks=marks))
    return open_day(state, book, last).phase is Phase.LAPSED


@pytest.mark.parametrize("course", [THREE, WEEKLY])
def test_the_share_that_lapses_is_that_of_households_followed_one_by_one(course: Course) -> None:
    quiet, rule, many = Quiet(0.06, 0.15), (2, 3), 400
    (told,) = compared(course, [rule], Asked(adherences=(0.7,), quiet=quiet, households=4000))
    assert told.lapses_exact is (course is THREE)
    random = Random(5)  # noqa: S311  a story, not a secret
    counted = sum(_lapses_by(with_rule(course, *rule), quiet, random) for _ in range(many)) / many
    share = told.at[0].lapsed
    assert 0.1 < share < 0.9
    assert abs(counted - share) < 4 * sqrt(share * (1 - share) / many)


def test_with_a_daily_step_first_who_lapses_depends_neither_on_the_rule_nor_on_what_is_kept() -> None:
    """What the exact share rests on, for random courses, and that it is the right one."""
    households, quiet = 3000, Quiet(0.05, 0.2)
    for seed in range(12):
        course = random_course(Random(seed))  # noqa: S311  as above
        first = next(step for step in course.steps if step.is_root)
        steps = tuple(replace(step, repeats="FREQ=DAILY") if step is first else step for step in course.steps)
        course = replace(course, steps=steps)
        outcomes = [
            _who_lapses(with_rule(course, *rule), chance, quiet, households)
            for rule, chance in product(((1, 1), (10, 14)), (0.2, 0.9))
        ]
        assert all((one == outcomes[0]).all() for one in outcomes)
        share = lapsed_within(LAPSED_BY, course.lapse_after, quiet.begins, quiet.ends)
        assert abs(outcomes[0].mean() - share) <= 4.5 * sqrt(share * (1 - share) / households)


def _who_lapses(course: Course, chance: float, quiet: Quiet, households: int) -> np.ndarray:
    rules = rulebook_at(course, "standard")
    first = next(at for at, step in enumerate(course.steps) if step.is_root)
    follower = Follower(rules, days_from(START, LAPSED_BY - 1), first)
    block, lapsed = fresh(rules, households, LAPSED_BY), np.zeros(households, bool)
    chances = Same(np.full(households, chance, np.float32), quiet.begins, quiet.ends)
    for _ in follower.follow(block, chances, np.random.default_rng(3)):
        lapsed |= block.lapsed
    return lapsed


def test_a_share_that_lapses_is_what_counting_every_string_of_days_gives() -> None:
    begins, ends, days_in_all, lapse_after = 0.3, 0.4, 8, 3
    share = 0.0
    for string in product((False, True), repeat=days_in_all):
        chance, before, run, lapsed = 1.0, False, 0, False
        for is_quiet in string:
            quiet_chance = 1 - ends if before else begins
            chance *= quiet_chance if is_quiet else 1 - quiet_chance
            before, run = is_quiet, run + 1 if is_quiet else 0
            lapsed |= run == lapse_after
        share += chance * lapsed
    # What the last of them made a lapse of is one on the day after.
    assert lapsed_within(days_in_all + 1, lapse_after, begins, ends) == pytest.approx(share, abs=1e-12)
    assert lapsed_within(lapse_after, lapse_after, begins, ends) == 0


def test_the_same_seed_gives_the_same_numbers_and_another_one_others() -> None:
    asked = Asked(households=300)
    assert compared(WEEKLY, RULES, asked) == compared(WEEKLY, RULES, asked)
    assert compared(WEEKLY, RULES, asked) != compared(WEEKLY, RULES, replace(asked, seed=2))


def test_more_adherences_or_rules_change_no_figure() -> None:
    for course in (WEEKLY, SHIPPED):
        asked = Asked(households=200, adherences=(0.8,))
        alone = compared(course, [(2, 3)], asked)
        both = compared(course, [(3, 4), (2, 3)], replace(asked, adherences=(0.65, 0.8, 0.9)))
        assert both[1].at[1] == alone[0].at[0]
        assert both[1].by_luck == alone[0].by_luck


def test_who_is_not_through_within_the_days_that_are_followed_has_no_day() -> None:
    (found,) = compared(IN_FORM, [(10, 14)], Asked(households=50, adherences=(0.3, 1.0), farthest=40))
    assert [(at.p50, at.p80) for at in found.at] == [(None, None), (30, 30)]


def test_the_day_by_which_half_are_through_is_that_of_the_first_of_two() -> None:
    asked = [Asked(households=2, adherences=(0.6,), seed=seed) for seed in range(1, 9)]
    days = [compared(IN_FORM, [(2, 3)], one)[0].at[0] for one in asked]
    assert all(at.p50 is not None and at.p80 is not None and at.p50 <= at.p80 for at in days)
    assert sum(at.p50 != at.p80 for at in days) > len(days) / 2


def test_a_list_of_rules_is_read_as_people_write_it() -> None:
    assert rules_of("2of3, 3 of 4,10OF14") == [(2, 3), (3, 4), (10, 14)]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is no rule"),
        ("2of3,", "is no rule"),
        ("two of three", "“two of three” is no rule"),
        ("٢of3", "is no rule"),
        ("4of3", "cannot be kept"),
        ("0of3", "cannot be kept"),
        ("2of3,2 of 3", "2 of 3 is named twice"),
        (",".join(f"1of{of}" for of in range(1, 14)), "13 rules are too many"),
        ("1of2," * 60, "too long"),
    ],
)
def test_what_is_no_list_of_rules_is_refused(text: str, says: str) -> None:
    with pytest.raises(Malformed, match=says):
        rules_of(text)


@pytest.mark.parametrize(
    ("rule", "asked", "says"),
    [
        ((3, 31), Asked(), "3 of 31 looks at more than 30"),
        ((3, 30), Asked("gentle"), "3 of 30, at this pace 4 of 31, looks at more than 30"),
        ((15, 30), Asked(most_states=3_000_000), "15 of 30 has 145,422,675 ways to stand"),
        ((10, 14), Asked(most_states=2001), "2,002 ways to stand"),
        ((2, 3), Asked("quick"), "no pace “quick”"),
        ((2, 3), Asked(adherences=(0.8, 1.2)), "from 0 to 1"),
    ],
)
def test_what_cannot_be_worked_out_is_refused_before_anything_is(
    rule: tuple[int, int], asked: Asked, says: str
) -> None:
    with pytest.raises(Malformed, match=says):
        compared(THREE, [(1, 1), rule], asked)
