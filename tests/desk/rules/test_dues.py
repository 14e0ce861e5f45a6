from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

import pytest

from areas.rules.homes import MONDAY, day
from coach.desk.rules.dues import Due, Told, Urgency, between, checked_due, listed, standing
from coach.desk.rules.repeating import dates_of
from coach.errors import Malformed
from desk.rules.telling import told_before

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.desk.rules.dues import DeskDays

ENTERED = day("2026-12-01")


def on_days(*desk_days: str) -> DeskDays:
    days = [day(text) for text in desk_days]
    return lambda after: next((one for one in days if one >= after), None)


def mondays(after: date) -> date | None:
    return after + timedelta(days=-after.weekday() % 7)


def water(on: str, **more: Any) -> Due:  # noqa: ANN401  any of the other fields
    return replace(Due("water", "Water bill", day(on), ENTERED), **more)


def shown(
    dues: Iterable[Due], on: str, desk: DeskDays = mondays, seen_to: Iterable[tuple[str, str]] = ()
) -> list[str]:
    done, today = {(name, day(text)) for name, text in seen_to}, day(on)
    found = listed(dues, done, today, desk, told_before(today, desk))
    return [f"{one.due.id} {one.on} {one.urgency}" for one in found]


@pytest.mark.parametrize(
    ("due", "listed_on"),
    [
        ("2027-01-13", True),
        ("2027-01-14", False),
        ("2027-01-07", True),
        ("2027-01-04", True),
        ("2026-12-30", True),
    ],
)
def test_a_desk_day_lists_what_is_comfortable_only_before_the_next(due: str, listed_on: bool) -> None:  # noqa: FBT001
    # Three days before the 14th is the next Monday, the 11th, which is early enough.
    assert bool(shown([water(due)], "2027-01-04")) is listed_on


def test_how_a_due_stands_is_said() -> None:
    dues = [
        water("2027-01-04", id="c"),
        water("2027-01-03", id="d"),
        water("2027-01-07", id="b"),
        water("2027-01-06", id="a"),
    ]
    assert shown(dues, "2027-01-04") == [
        "d 2027-01-03 overdue",
        "c 2027-01-04 late",
        "a 2027-01-06 late",
        "b 2027-01-07 in-time",
    ]


def test_other_days_list_nothing_that_was_entered_in_time() -> None:
    assert shown([water("2027-01-08")], "2027-01-05") == []


def test_what_is_entered_too_late_is_listed_at_once_until_the_next_desk_day() -> None:
    late = water("2027-01-13", entered=day("2027-01-05"))
    assert shown([late], "2027-01-04") == []
    assert shown([late], "2027-01-05") == ["water 2027-01-13 in-time"]
    assert shown([late], "2027-01-10") == ["water 2027-01-13 in-time"]
    assert shown([late], "2027-01-11") == ["water 2027-01-13 late"]
    assert shown([late], "2027-01-12") == []
    assert shown([late], "2027-01-18") == ["water 2027-01-13 overdue"]


def test_what_a_desk_day_would_have_told_that_was_moved_is_listed_on_the_days_until_the_next() -> None:
    """The Monday told what comes before the next one, the 11th; then desk work moved to the 20th."""
    told, moved = Told(MONDAY, day("2027-01-11")), on_days("2027-01-04", "2027-01-20")
    dues = [water("2027-01-13", id="told"), water("2027-01-14", id="missed"), water("2027-01-23", id="later")]
    shown_on = {
        text: [one.due.id for one in listed(dues, (), day(text), moved, told)]
        for text in ("2027-01-05", "2027-01-19", "2027-01-20")
    }
    assert shown_on == {
        "2027-01-05": ["missed"],
        "2027-01-19": ["missed"],
        "2027-01-20": ["told", "missed", "later"],
    }


def test_what_was_written_down_after_it_no_desk_day_has_told() -> None:
    told = Told(MONDAY, day("2027-01-11"))
    late = water("2027-01-13", entered=day("2027-01-05"))
    assert [one.due.id for one in listed([late], (), day("2027-01-06"), mondays, told)] == ["water"]
    same_day = water("2027-01-13", entered=MONDAY)
    assert listed([same_day], (), day("2027-01-06"), mondays, told) == ()


def test_a_due_stands_from_its_own_date_on_until_it_is_seen_to() -> None:
    due = water("2027-01-06")
    stands = {
        text: bool(standing([due], (), day(text))) for text in ("2027-01-05", "2027-01-06", "2027-03-06")
    }
    assert stands == {"2027-01-05": False, "2027-01-06": True, "2027-03-06": True}
    assert standing([due], {("water", day("2027-01-06"))}, day("2027-01-07")) == ()


@pytest.mark.parametrize(("at", "first"), [("02:59", 5), ("03:00", 6), ("15:30", 6)])
def test_an_appointment_before_the_day_begins_stands_on_the_day_that_holds_it(at: str, first: int) -> None:
    flight = replace(water("2027-01-06"), needs=0, at=time.fromisoformat(at))
    days = [day(f"2027-01-0{number}") for number in range(4, 8)]
    stands = [one.day for one in days if standing([flight], (), one, time(3))]
    assert stands == list(range(first, 8))
    assert standing([flight], {("water", flight.on)}, flight.on, time(3)) == ()


def test_every_date_of_what_repeats_stands_by_itself() -> None:
    weekly = water("2027-01-04", repeats="FREQ=WEEKLY", seen_to_through=day("2027-01-04"))
    found = standing([weekly], {("water", day("2027-01-18"))}, day("2027-01-25"))
    assert [one.on for one in found] == [day("2027-01-11"), day("2027-01-25")]


def test_the_dues_of_some_dates_are_told_in_the_order_of_their_times() -> None:
    dues = [
        water("2027-01-06", id="b", at=time(15, 30)),
        water("2027-01-06", id="c"),
        water("2027-01-06", id="a", at=time(9, 5)),
        water("2027-01-05", id="d", at=time(23)),
        water("2027-01-04", id="before"),
        water("2027-01-07", id="after"),
    ]
    found = between(dues, (), MONDAY, day("2027-01-05"), day("2027-01-06"))
    assert [one.due.id for one in found] == ["d", "c", "a", "b"]
    assert between(dues, {("d", day("2027-01-05"))}, MONDAY, day("2027-01-05"), day("2027-01-05")) == ()


def test_for_the_dues_of_some_dates_no_earlier_ones_are_looked_at() -> None:
    daily = water("2027-01-04", repeats="FREQ=DAILY")
    first, last = day("2030-01-07"), day("2030-01-13")
    with patch("coach.desk.rules.dues.dates_of", wraps=dates_of) as asked:
        assert len(between([daily], (), MONDAY, first, last)) == 7
    assert [call.args[2] for call in asked.call_args_list] == [first]


def test_what_is_entered_on_a_desk_day_is_listed_on_it() -> None:
    assert shown([water("2027-01-08", entered=MONDAY)], "2027-01-04") == ["water 2027-01-08 in-time"]
    assert shown([water("2027-01-08", entered=MONDAY)], "2027-01-05") == []


def test_what_is_seen_to_is_gone() -> None:
    assert shown([water("2027-01-06")], "2027-01-04", seen_to=[("water", "2027-01-06")]) == []


def test_what_repeats_is_listed_date_by_date() -> None:
    monthly = water("2026-11-20", repeats="FREQ=MONTHLY;BYMONTHDAY=6,20")
    assert shown([monthly], "2027-01-04", seen_to=[("water", "2026-11-20"), ("water", "2026-12-06")]) == [
        "water 2026-12-20 overdue",
        "water 2027-01-06 late",
    ]
    done = replace(monthly, seen_to_through=day("2026-12-31"))
    assert shown([done], "2027-01-04") == ["water 2027-01-06 late"]


def test_the_date_through_which_a_due_is_seen_to_is_seen_to_too() -> None:
    done = water("2026-11-06", repeats="FREQ=MONTHLY", seen_to_through=day("2027-01-06"))
    assert shown([done], "2027-01-04") == []
    assert shown([replace(done, seen_to_through=day("2027-01-05"))], "2027-01-04") == [
        "water 2027-01-06 late"
    ]


def test_the_latest_comfortable_date_is_told() -> None:
    (due_date,) = listed([water("2027-01-08", needs=4)], set(), MONDAY, mondays)
    assert (due_date.comfortable, due_date.urgency) == (MONDAY, Urgency.IN_TIME)


def test_days_needed_bring_a_due_forward() -> None:
    assert shown([water("2027-02-13", needs=33)], "2027-01-04") == []
    assert shown([water("2027-02-13", needs=34)], "2027-01-04") == ["water 2027-02-13 in-time"]


def test_without_desk_days_a_due_comes_on_its_latest_comfortable_date() -> None:
    assert shown([water("2027-01-10")], "2027-01-06", on_days()) == []
    assert shown([water("2027-01-10")], "2027-01-07", on_days()) == ["water 2027-01-10 in-time"]
    # Desk work was dropped on the 4th; what is late by then stays in sight.
    dropped = on_days("2026-12-28", "2027-01-04")
    assert shown([water("2027-01-10")], "2027-01-07", dropped) == ["water 2027-01-10 in-time"]


def test_the_last_desk_day_known_lists_a_year() -> None:
    dues = [water("2027-12-30"), water("2028-01-15", id="far")]
    assert shown(dues, "2027-01-04", on_days("2027-01-04")) == ["water 2027-12-30 in-time"]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"name": "  "}, "has no name"),
        ({"name": "x" * 201}, "up to 200"),
        ({"name": "tax\x00"}, "can be shown"),
        ({"needs": -1}, "from 0 to 366, not -1"),
        ({"needs": 400}, "not 400"),
        ({"amount": "9" * 41}, "41 characters"),
        ({"repeats": "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"}, "never comes"),
        ({"repeats": "FREQ=YEARLY;COUNT=2"}, "COUNT is not known here"),
        ({"repeats": "yearly"}, "is not a part"),
    ],
)
def test_a_due_that_cannot_be_kept_is_refused(wrong: dict[str, Any], said: str) -> None:
    with pytest.raises(Malformed, match=said):
        checked_due(water("2027-01-10", **wrong))


def test_a_due_that_can_be_kept_is_kept() -> None:
    due = water("2027-01-10", repeats="FREQ=YEARLY", amount="€ 42.50")
    assert checked_due(due) is due
    assert Urgency("late") is Urgency.LATE


@pytest.mark.parametrize(
    "limit", [{"needs": 0}, {"needs": 366}, {"amount": "9" * 40}, {"name": "x" * 200}, {"amount": None}]
)
def test_the_limits_of_a_due_can_be_kept(limit: dict[str, Any]) -> None:
    due = water("2027-01-10", **limit)
    assert checked_due(due) is due
