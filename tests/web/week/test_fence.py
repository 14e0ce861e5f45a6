"""The fence: posts by minutes, rails by the minutes one has, and what stands above them."""

from __future__ import annotations

from datetime import date, timedelta

from coach.web.pages.week.fence import HIGHEST, LEAST, fence, most
from coach.week.answers import DayMinutes

MONDAY = date(2027, 1, 25)


def days(*minutes: tuple[int, int | None]) -> list[DayMinutes]:
    """Days that follow one another, each with what is due and what there is."""
    return [
        DayMinutes(MONDAY + timedelta(days=ahead), "MO", due, there, max(0, due - (there or due)), None)
        for ahead, (due, there) in enumerate(minutes)
    ]


def test_the_tallest_post_or_rail_takes_the_whole_height() -> None:
    week = days((30, 60), (80, None), (20, 100))
    assert most(week) == 100
    assert [post.height for post in fence(week, 100)] == [
        round(HIGHEST * 60 / 100, 1),
        round(HIGHEST * 80 / 100, 1),
        HIGHEST,
    ]


def test_what_is_over_the_rail_stands_on_what_is_within() -> None:
    [post] = fence(days((80, 50)), 100)
    assert (post.due, post.over, post.rail) == (46.0, 27.6, 46.0)


def test_a_rail_tells_where_the_one_before_it_stood_if_it_has_another_height() -> None:
    posts = fence(days((10, 50), (10, 50), (10, 100), (10, None), (10, 50)), 100)
    assert [post.before for post in posts] == [None, None, 46.0, None, None]


def test_a_day_of_no_minutes_has_a_rail_on_the_ground_and_a_post() -> None:
    [post] = fence(days((0, 0)), most(days((0, 0))))
    assert (post.due, post.over, post.rail, post.height) == (0.0, 0.0, 0.0, LEAST)
