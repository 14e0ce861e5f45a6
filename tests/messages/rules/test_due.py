"""What is due on a day: one word, none while paused or finished, two in a lapse, never two for a day."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.messages.rules.due import MOST_TRIES, DayStands, Due, due

MONDAY = date(2027, 1, 4)


def an_ordinary_day(open_lines: int = 3, *, paused: bool = False) -> DayStands:
    return DayStands(MONDAY, paused=paused, lapsed_since=None, without=0, open=open_lines)


def a_lapsed_day(without: int, since: date = MONDAY, led_to_it: int = 7) -> DayStands:
    return DayStands(
        since + timedelta(days=without - led_to_it), paused=False, lapsed_since=since, without=without, open=5
    )


def test_an_ordinary_day_has_one_message_named_by_its_date() -> None:
    assert due(an_ordinary_day(), {}) == Due("day", ("2027-01-04",))


@pytest.mark.parametrize("outcome", ["", "sent", "gone", "refused: no such address"])
def test_a_day_that_was_claimed_has_no_other_whatever_came_of_it(outcome: str) -> None:
    assert due(an_ordinary_day(), {"2027-01-04": outcome}) is None


def test_nothing_is_due_while_paused_nor_when_every_line_is_marked_nor_on_a_day_without_lines() -> None:
    assert due(an_ordinary_day(paused=True), {}) is None
    assert due(an_ordinary_day(0), {}) is None


def test_what_was_put_off_is_tried_again_under_a_name_of_its_own_and_not_without_end() -> None:
    sent: dict[str, str] = {}
    tried = 0
    while (one := due(an_ordinary_day(), sent)) is not None:
        assert not set(one.names) & set(sent)
        sent |= dict.fromkeys(one.names, "later: busy")
        tried += 1
    assert tried == MOST_TRIES


def test_a_try_of_which_nothing_is_known_is_the_last() -> None:
    assert due(an_ordinary_day(), {"2027-01-04": "later", "2027-01-04/2": ""}) is None


def lived(days: list[DayStands]) -> list[tuple[int, str]]:
    """In which days without a mark something was sent, and what, where everything arrives."""
    sent: dict[str, str] = {}
    found: list[tuple[int, str]] = []
    for stands in days:
        one = due(stands, sent)
        if one is not None:
            sent |= dict.fromkeys(one.names, "sent")
            found.append((stands.without, one.kind))
    return found


def test_a_lapse_has_one_after_a_week_one_after_three_and_no_third() -> None:
    assert lived([a_lapsed_day(days) for days in range(7, 400)]) == [(7, "week"), (21, "weeks")]


def test_a_lapse_that_begins_sooner_than_after_a_week_is_quiet_until_then() -> None:
    assert lived([a_lapsed_day(days, led_to_it=3) for days in range(3, 60)]) == [(7, "week"), (21, "weeks")]


def test_where_the_service_was_off_the_first_comes_late_and_old_ones_do_not_heap_up() -> None:
    assert lived([a_lapsed_day(days) for days in range(12, 60)]) == [(12, "week"), (21, "weeks")]
    assert lived([a_lapsed_day(days) for days in range(30, 60)]) == [(30, "weeks")]


def test_another_lapse_has_its_own_two() -> None:
    later = MONDAY + timedelta(days=90)
    days = [a_lapsed_day(days) for days in range(7, 40)]
    days += [a_lapsed_day(days, later) for days in range(7, 40)]
    assert [kind for _, kind in lived(days)] == ["week", "weeks", "week", "weeks"]


def test_a_message_of_a_lapse_that_was_put_off_is_tried_again_on_its_day_alone() -> None:
    first = due(a_lapsed_day(7), {})
    assert first is not None
    sent = dict.fromkeys(first.names, "later: busy")
    assert due(a_lapsed_day(7), sent) == Due("week", ("2027-01-04/2",))
    assert due(a_lapsed_day(8), sent) is None


@given(
    st.lists(
        st.tuples(
            st.integers(0, 40),
            st.booleans(),
            st.none() | st.integers(0, 40),
            st.integers(0, 3),
            st.sampled_from(["", "sent", "later: busy", "gone"]),
        ),
        max_size=60,
    )
)
def test_no_order_of_days_and_outcomes_sends_two_for_a_day_or_three_in_a_lapse(
    told: list[tuple[int, bool, int | None, int, str]],
) -> None:
    sent: dict[str, str] = {}
    arrived: list[tuple[date, date | None]] = []
    for ahead, paused, lapsed_for, lines, outcome in told:
        day = MONDAY + timedelta(days=ahead)
        since = None if lapsed_for is None else MONDAY
        one = due(DayStands(day, paused, since, lapsed_for or 0, lines), sent)
        if one is None:
            continue
        assert not set(one.names) & set(sent)
        sent |= dict.fromkeys(one.names, outcome)
        if outcome in {"", "sent"}:
            arrived.append((day, since))
    assert len({day for day, _ in arrived}) == len(arrived)
    assert sum(since is not None for _, since in arrived) <= 2
