"""A household's forecast: dates out of its own log, and why there are none where there are none."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from coach.coaching.library import find_course
from coach.pace.evidence import evidence_of
from coach.pace.forecast import LONGEST, CannotSay, Forecast, Household, forecast, paused_ahead
from coach.progress.journal import Version, journal
from coach.progress.log import What
from coach.progress.replay import begin, each_closed, open_on
from progress.living import a_course, a_step, days, marks, on, row, start

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.course.model import Course
    from coach.progress.log import Row

THREE_WEEKS = find_course("three-weeks")
SEED = 11
FUTURES = 500


def household(course: Course, rows: Sequence[Row], today: int) -> Household:
    """As a day opens, with whatever its log says of it."""
    book = journal([Version(date.min, course)], rows)
    state = begin(book)
    evidence = evidence_of(on(1), ((day, state) for day in each_closed(state, book, on(1), on(today - 1))))
    return Household(state, open_on(state, book, on(today)), book, evidence)


def keeping(course: Course, through: int, missed: Sequence[int] = ()) -> list[Row]:
    """The log of a household that keeps all that is on its list, but on some days misses all of it."""
    rows = start()
    for day in days(1, through):
        listed = household(course, rows, day).opening.checklist
        rows += marks("missed" if day in missed else "kept", [day], *listed)
    return rows


def foretold(home: Household, seed: int = SEED) -> Forecast:
    return forecast(home, seed, FUTURES)


def ahead(day: date | None, today: int) -> int:
    """How many days a date lies ahead of today."""
    assert day is not None
    return (day - on(today)).days


@pytest.fixture(scope="module")
def steadily() -> list[Row]:
    """A household that has kept two weeks but for two days."""
    return keeping(THREE_WEEKS, 14, missed=[4, 9])


def test_a_household_that_keeps_most_gets_dates_in_their_order(steadily: list[Row]) -> None:
    found = foretold(household(THREE_WEEKS, steadily, 15))
    assert found.cannot_say is None
    assert found.from_ and found.median and found.likely and found.to  # noqa: PT018  all four are dates
    assert on(15) < found.from_ < found.median < found.likely <= found.to < on(15 + 60)


def test_no_date_lies_before_the_one_that_everything_kept_would_reach(steadily: list[Row]) -> None:
    swiftest = keeping(THREE_WEEKS, 40, missed=[4, 9])
    settled = [
        record.settled
        for record in household(THREE_WEEKS, swiftest, 41).state.records.values()
        if record.step.waits
    ]
    earliest = max(filter(None, settled))
    found = foretold(household(THREE_WEEKS, steadily, 15))
    assert found.from_ is not None
    assert found.from_ >= earliest


def test_the_same_seed_says_the_same_and_it_is_said_with_it(steadily: list[Row]) -> None:
    home = household(THREE_WEEKS, steadily, 15)
    found = foretold(home)
    assert found == foretold(home)
    assert (found.seed, found.futures) == (SEED, FUTURES)


def test_another_seed_says_nearly_the_same(steadily: list[Row]) -> None:
    home = household(THREE_WEEKS, steadily, 15)
    medians = [ahead(foretold(home, seed).median, 15) for seed in range(5)]
    assert max(medians) - min(medians) <= 3


def test_what_is_looked_at_is_left_as_it_is(steadily: list[Row]) -> None:
    home = household(THREE_WEEKS, steadily, 15)
    before = home.state.copy()
    foretold(home)
    assert home.state == before


def test_one_that_misses_more_is_later(steadily: list[Row]) -> None:
    often = keeping(THREE_WEEKS, 14, missed=[4, 6, 9, 11, 12, 14])
    later = foretold(household(THREE_WEEKS, often, 15))
    sooner = foretold(household(THREE_WEEKS, steadily, 15))
    assert later.cannot_say is CannotSay.TOO_FAR or ahead(later.median, 15) > ahead(sooner.median, 15) + 7


def test_a_household_that_is_quiet_now_is_later_than_one_that_was_there_yesterday(
    steadily: list[Row],
) -> None:
    home = household(THREE_WEEKS, steadily, 20)
    assert home.evidence.quiet
    there = replace(home, evidence=replace(home.evidence, quiet=False))
    assert ahead(foretold(there).median, 20) + 2 <= ahead(foretold(home).median, 20)


def test_marks_of_today_count(steadily: list[Row]) -> None:
    listed = household(THREE_WEEKS, steadily, 15).opening.checklist
    kept = foretold(household(THREE_WEEKS, steadily + marks("kept", [15], *listed), 15))
    missed = foretold(household(THREE_WEEKS, steadily + marks("missed", [15], *listed), 15))
    assert ahead(kept.median, 15) < ahead(missed.median, 15)


def test_a_last_step_that_settles_with_todays_marks_is_done_today() -> None:
    course = a_course(a_step("bed", settles={"kept": 11, "of": 11}))
    rows = start() + marks("kept", days(1, 11), "bed")
    found = foretold(household(course, rows, 11))
    assert (found.from_, found.median, found.likely, found.to) == (on(11), on(11), on(11), on(12))


def test_a_pause_with_an_end_puts_the_dates_off(steadily: list[Row]) -> None:
    plain = foretold(household(THREE_WEEKS, steadily, 15))
    pause = row(15, "pause", value=on(20).isoformat())
    paused = foretold(household(THREE_WEEKS, [*steadily, pause], 15))
    assert ahead(paused.median, 15) - ahead(plain.median, 15) == pytest.approx(6, abs=3)


def test_a_pause_that_is_still_to_come_puts_them_off_too(steadily: list[Row]) -> None:
    plain = foretold(household(THREE_WEEKS, steadily, 15))
    coming = row(17, "pause", value=on(30).isoformat())
    paused = foretold(household(THREE_WEEKS, [*steadily, coming], 15))
    assert ahead(paused.from_, 15) - ahead(plain.from_, 15) >= 12


@pytest.mark.parametrize("begins", [15, 20])
def test_with_a_pause_without_an_end_nothing_can_be_said(steadily: list[Row], begins: int) -> None:
    found = foretold(household(THREE_WEEKS, [*steadily, row(begins, "pause")], 15))
    assert found == Forecast(0, SEED, cannot_say=CannotSay.PAUSED)


def test_pauses_ahead_begin_and_end_as_the_log_says() -> None:
    rows = [*start(), row(3, "pause"), row(5, "resume"), row(8, "pause", value=on(9).isoformat())]
    home = household(a_course("bed"), rows, 2)
    coming = paused_ahead(home.state, home.book, [on(day) for day in days(2, 11)])
    assert coming is None
    ended = [each for each in rows if each.what is not What.PAUSE or each.value]
    home = household(a_course("bed"), ended, 2)
    coming = paused_ahead(home.state, home.book, [on(day) for day in days(2, 11)])
    assert coming is not None
    assert [day for day, paused in zip(days(2, 11), coming, strict=True) if paused] == [8, 9]


def test_nothing_is_said_on_a_lapsed_day_nor_on_a_return_day(steadily: list[Row]) -> None:
    assert foretold(household(THREE_WEEKS, steadily, 24)).cannot_say is CannotSay.LAPSED
    back = [*steadily, row(24, "resume")]
    assert foretold(household(THREE_WEEKS, back, 24)).cannot_say is CannotSay.RETURNING


def test_on_the_day_after_a_return_day_dates_are_said_again(steadily: list[Row]) -> None:
    rows = [*steadily, row(24, "resume")]
    rows += marks("kept", [24], *household(THREE_WEEKS, rows, 24).opening.checklist)
    found = foretold(household(THREE_WEEKS, rows, 25))
    assert found.cannot_say in {None, CannotSay.TOO_FAR}


@pytest.mark.parametrize(("outcomes", "reason"), [(9, CannotSay.TOO_FEW), (10, None)])
def test_under_ten_outcomes_nothing_can_be_said(outcomes: int, reason: CannotSay | None) -> None:
    course = a_course(a_step("bed", settles={"kept": 12, "of": 14}))
    rows = start() + marks("kept", days(1, outcomes), "bed")
    assert foretold(household(course, rows, outcomes + 1)).cannot_say is reason


def test_when_all_has_settled_nothing_is_left_to_say() -> None:
    rows = keeping(THREE_WEEKS, 21)
    assert foretold(household(THREE_WEEKS, rows, 22)).cannot_say is CannotSay.NOTHING_LEFT


def test_a_waiting_step_that_is_set_aside_is_not_waited_for() -> None:
    rows = [*keeping(a_course("bed", "table"), 20, missed=days(4, 20)), row(21, "set-aside", "table")]
    assert foretold(household(a_course("bed", "table"), rows, 21)).cannot_say is CannotSay.NOTHING_LEFT


def test_dates_more_than_a_year_ahead_are_not_said() -> None:
    course = a_course(a_step("bed", settles={"kept": 14, "of": 14}))
    rows = start() + marks("missed", days(1, 40), "bed")
    found = foretold(household(course, rows, 41))
    assert found == Forecast(FUTURES, SEED, cannot_say=CannotSay.TOO_FAR)


def test_the_chance_of_8_in_10_decides_and_not_the_end_of_the_range() -> None:
    course = a_course(a_step("bed", settles={"kept": 12, "of": 12}))
    missed = [day for day in days(1, 30) if day % 5 == 4]
    found = foretold(household(course, keeping(course, 30, missed=missed), 31))
    assert ahead(found.likely, 31) <= LONGEST < ahead(found.to, 31)


def test_the_end_of_a_range_is_looked_for_years_ahead_and_without_one_nothing_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    course = a_course(a_step("bed", settles={"kept": 12, "of": 12}))
    home = household(course, keeping(course, 30, missed=[day for day in days(1, 30) if day % 4 == 3]), 31)
    found = foretold(home)
    assert ahead(found.likely, 31) <= LONGEST < 2 * LONGEST < ahead(found.to, 31)
    monkeypatch.setattr("coach.pace.forecast._REACH", 2 * LONGEST)
    assert foretold(home).cannot_say is CannotSay.TOO_FAR


@pytest.mark.parametrize(("paused", "reason"), [(365, None), (366, CannotSay.TOO_FAR)])
def test_a_date_a_year_ahead_is_the_last_one_said(paused: int, reason: CannotSay | None) -> None:
    """Paused for so long, and then nearly sure to settle on the first day: a year is 365 days from today."""
    course = a_course(a_step("bed", settles={"kept": 41, "of": 41}))
    pause = row(41, "pause", value=on(41 + paused - 1).isoformat())
    found = foretold(household(course, [*start(), *marks("kept", days(1, 40), "bed"), pause], 41))
    assert found.cannot_say is reason
    assert found.from_ == (on(41 + 365) if reason is None else None)
