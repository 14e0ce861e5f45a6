from datetime import date, timedelta

import pytest

from coach.ground.wording import (
    dates_in_words,
    full_date,
    long_date,
    minutes_words,
    near_date,
    near_day,
    short_date,
    size_words,
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


@pytest.mark.parametrize(
    ("count", "said"),
    [
        (0, "0 bytes"),
        (1, "1 byte"),
        (999, "999 bytes"),
        (1000, "1 kB"),
        (98_304, "98 kB"),
        (999_499, "999 kB"),
        (999_500, "1.0 MB"),
        (14_798_848, "14.8 MB"),
        (512_000_000, "512 MB"),
        (1_500_000_000, "1.5 GB"),
        (2_000_000_000_000, "2000 GB"),
    ],
)
def test_a_size_is_said_in_plain_words(count: int, said: str) -> None:
    assert size_words(count) == said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "2027-01-03 lies ahead, after 2026-12-31.",
            "Sunday 3 January 2027 lies ahead, after Thursday 31 December 2026.",
        ),
        ("“2027-01-03” is not a week.", "“2027-01-03” is not a week."),
        (
            "Write a date as YYYY-MM-DD, such as 2027-01-04.",
            "Write a date as YYYY-MM-DD, such as 2027-01-04.",
        ),
        ("2027-02-30 and 2027-01-041 are none.", "2027-02-30 and 2027-01-041 are none."),
    ],
)
def test_dates_in_a_sentence_are_said_but_for_those_quoted_or_given_as_examples(text: str, said: str) -> None:
    assert dates_in_words(text) == said
