from datetime import date, timedelta

import pytest

from coach.ground.wording import (
    full_date,
    long_date,
    minutes_words,
    near_date,
    near_day,
    short_date,
    whole_date,
)

DAY = date(2026, 11, 5)


def test_a_date_is_said_as_shortly_as_its_place_allows() -> None:
    assert [say(DAY) for say in (short_date, long_date, full_date, whole_date)] == [
        "5 November",
        "Thursday 5 November",
        "5 November 2026",
        "Thursday 5 November 2026",
    ]


@pytest.mark.parametrize(
    ("ahead", "said"),
    [
        (-2, "on Thursday 5 November"),
        (-1, "yesterday"),
        (0, "today"),
        (1, "tomorrow"),
        (2, "on Thursday 5 November"),
    ],
)
def test_a_near_date_is_said_by_its_distance(ahead: int, said: str) -> None:
    assert near_date(DAY, DAY - timedelta(days=ahead)) == said


def test_a_date_further_off_has_no_near_word() -> None:
    assert near_day(DAY, DAY + timedelta(days=7)) is None


def test_one_minute_is_no_plural() -> None:
    assert [minutes_words(count) for count in (0, 1, 2)] == ["0 minutes", "1 minute", "2 minutes"]
