"""The forecast of a household: two dates out of its own marks, or why there are none."""

from __future__ import annotations

import subprocess
import sys

import pytest

from coach.errors import NotStarted
from coach.habits import pauses, steps
from coach.habits.forecast_answers import Held, Span
from coach.habits.forecast_words import record_text, span_text
from coach.habits.forecasting import forecast, seed_of
from habits.forecasting import LONG, dates, held, lived, misses_every
from habits.house import HOME, House
from progress.living import a_course, on


def span_of(house: House) -> Span:
    return forecast(house.context, HOME).span


def test_dates_lie_ahead_in_their_order_and_are_said_with_their_chances() -> None:
    span = span_of(lived(12))
    assert span.cannot_say is None
    first, median, likely, last = dates(span)
    assert on(13) < first <= median <= likely <= last
    assert span.futures == 2000
    assert f"by {median.day} {median:%B} with a chance of 1 in 2" in span.text
    assert f"by {likely.day} {likely:%B} with 8 in 10." in span.text


def test_who_keeps_more_has_earlier_dates() -> None:
    often, seldom = span_of(lived(12, misses_every(9))), span_of(lived(12, misses_every(3)))
    assert dates(often) < dates(seldom)


def test_the_same_household_date_and_log_have_the_same_numbers_in_another_process_too() -> None:
    house, other = lived(12), lived(12)
    assert span_of(house) == span_of(other)
    assert seed_of("home", on(13)) == 776576213
    assert seed_of("home", on(13)) != seed_of("home", on(14)) != seed_of("another", on(14))


def test_it_is_kept_until_something_is_written_or_the_day_ends() -> None:
    house = lived(12)
    first = forecast(house.context, HOME)
    assert forecast(house.context, HOME) is first
    house.mark(13, "bed")
    assert forecast(house.context, HOME) is not first
    second = forecast(house.context, HOME)
    assert forecast(house.at(14).context, HOME) is not second


def test_to_look_writes_nothing() -> None:
    house = lived(12)
    before = house.store.version(HOME)
    forecast(house.context, HOME)
    assert house.store.version(HOME) == before
    assert not held(house)


def test_after_few_outcomes_it_is_too_early_to_tell_and_says_how_many_there_are() -> None:
    for day, are in ((0, "are none"), (1, "is 1"), (4, "are 4")):
        span = span_of(lived(day))
        assert (span.cannot_say, span.median) == ("too-few", None)
        assert span.text == (
            f"Too early to tell. Dates need 10 outcomes of days with a mark; there {are} so far."
        )


def test_on_a_lapsed_day_and_on_the_day_of_the_return_no_date_is_said_and_on_the_next_one_is() -> None:
    house = lived(12).at(24)
    assert span_of(house).cannot_say == "lapsed"
    house.mark(24, "bed")
    assert span_of(house).cannot_say == "returning"
    assert span_of(house.at(25)).cannot_say is None


def test_a_pause_without_an_end_has_no_dates_and_one_with_an_end_puts_them_off() -> None:
    house = lived(12)
    before, *_ = dates(span_of(house))
    pauses.pause(house.context, HOME, on(14), on(34))
    away, *_ = dates(span_of(house))
    assert (away - before).days >= 21
    pauses.pause(house.context, HOME, on(20))
    assert span_of(house).cannot_say == "paused"
    assert "once it has a last day" in span_of(house).text


def test_once_every_step_that_others_wait_for_has_settled_nothing_is_left() -> None:
    house = lived(60, lambda _: True)
    assert span_of(house).cannot_say == "nothing-left"


def test_steps_set_aside_are_not_waited_for() -> None:
    house = lived(12)
    before = span_of(house)
    for step in ("lamp", "door"):
        steps.set_aside(house.context, HOME, step)
    assert dates(span_of(house)) < dates(before)


def test_who_keeps_next_to_nothing_is_told_that_a_year_is_not_enough() -> None:
    house = lived(40, misses_every(1))
    assert span_of(house).cannot_say == "too-far"
    assert "a year is not enough" in span_of(house).text


def test_before_the_start_there_is_nothing_to_forecast() -> None:
    with pytest.raises(NotStarted):
        forecast(House(LONG).context, HOME)


def test_a_course_without_waiting_steps_has_nothing_left() -> None:
    house = House(a_course("bed")).begun("bed")
    steps.set_aside(house.context, HOME, "bed")
    assert span_of(house).cannot_say == "nothing-left"


def test_a_date_of_another_year_is_said_with_it_and_two_on_one_day_are_said_as_two() -> None:
    span = Span(on(1), on(9), on(3), on(3), 2000, 1, None, "")
    assert span_text(span, on(1).replace(year=2026), 20, 10) == (
        "The last step that others wait for settles by 6 January 2027 with a chance of 1 in 2, and by the "
        "same day with 8 in 10."
    )


@pytest.mark.parametrize(
    ("over", "kept", "text"),
    [
        (0, 0, ""),
        (1, 1, "The one earlier forecast that is over held."),
        (1, 0, "The one earlier forecast that is over did not hold."),
        (6, 5, "Of 6 earlier forecasts that are over, 5 held."),
        (2, 0, "Of 2 earlier forecasts that are over, none held."),
    ],
)
def test_the_record_is_one_plain_sentence(over: int, kept: int, text: str) -> None:
    assert record_text(Held(over, kept)) == text


def test_the_application_starts_without_what_numbers_need() -> None:
    asked = "import sys, coach.app; print(sorted({'numpy', 'scipy'} & set(sys.modules)))"
    assert subprocess.check_output([sys.executable, "-c", asked], text=True).strip() == "[]"
