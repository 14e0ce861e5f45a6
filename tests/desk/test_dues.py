"""Dues: written down, seen to and reopened, changed, and what cannot be kept."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime

import pytest

from coach.desk import dues
from coach.desk.dues import TypedDue
from coach.errors import NotEditable, Unknown
from coach.ground.faults import Unfit
from coach.ground.plan_rows import PlanRow
from desk.working import add, coming, now, seen, working
from habits.house import HOME, House
from kitchen.cooking import written
from progress.living import on

MONTHLY = "FREQ=MONTHLY;BYMONTHDAY=8"


@pytest.fixture
def house() -> House:
    """Desk work on Tuesdays, the 5th, the 12th and so on; today is Monday the 4th."""
    return working()


def see_to(house: House, due: str, day: str) -> None:
    dues.see_to(house.context, HOME, due, date.fromisoformat(day))


def reopen(house: House, due: str, day: str) -> None:
    dues.reopen(house.context, HOME, due, date.fromisoformat(day))


def test_a_due_is_kept_as_it_was_typed(house: House) -> None:
    _, found = dues.add(house.context, HOME, TypedDue(" Water  bill ", "2027-01-20", "", "5", "41.20 euros"))
    [due] = found.dues
    assert (due.name, due.on, due.repeats, due.needs, due.amount) == (
        "Water bill",
        date(2027, 1, 20),
        None,
        5,
        "41.20 euros",
    )


def test_an_appointment_has_a_time_and_needs_no_days_unless_some_are_given(house: House) -> None:
    for name, needs in (("dentist", ""), ("vet", "2")):
        dues.add(house.context, HOME, TypedDue(name, "2027-01-20", "", needs, "", "15:30"))
    assert [(one.name, one.time, one.needs) for one in seen(house).dues] == [
        ("dentist", "15:30", 0),
        ("vet", "15:30", 2),
    ]


def test_another_time_is_no_new_beginning(house: House) -> None:
    due = add(house, "piano", "2027-01-08", "FREQ=WEEKLY")
    see_to(house, due, "2027-01-08")
    dues.change(house.context, HOME, due, TypedDue("piano", "2027-01-08", "FREQ=WEEKLY", "", "", "17:00"))
    assert [(one.on, one.time) for one in seen(house).coming] == [(date(2027, 1, 15), "17:00")]


def test_a_time_that_is_none_is_refused_beside_its_field(house: House) -> None:
    with pytest.raises(Unfit) as caught:
        dues.add(house.context, HOME, TypedDue("dentist", "2027-01-20", time="half past"))
    assert [fault.field for fault in caught.value.faults] == ["time"]


def test_a_row_of_an_earlier_version_has_no_time_and_reads_as_before(house: House) -> None:
    row = {"name": "tax", "on": "2027-01-06", "entered": "2027-01-04", "repeats": None, "needs": 3}
    row |= {"amount": "12", "settled_through": None}
    done = {"name": "toll", "settled": "2027-01-04", "due": row | {"name": "toll"}}
    rows = [
        PlanRow(on(1), "due", "20270104-0001", json.dumps(row)),
        PlanRow(on(1), "due-done", "2027-01-05/20270104-0002", json.dumps(done)),
    ]
    with house.store.writing(HOME) as writing:
        writing.put_plan(rows, datetime(2027, 1, 4, tzinfo=UTC))
    assert [(one.name, one.time, one.needs) for one in seen(house).dues] == [("tax", None, 3)]
    assert [(one.name, one.time, one.amount) for one in seen(house).seen_to] == [("toll", None, "12")]
    reopen(house, "20270104-0002", "2027-01-05")
    assert {one.name for one in seen(house).dues} == {"tax", "toll"}


def test_three_days_are_needed_if_nothing_is_said(house: House) -> None:
    add(house, "tax", "2027-01-20")
    assert seen(house).dues[0].needs == 3


def test_a_single_due_that_is_seen_to_is_gone_and_can_be_reopened(house: House) -> None:
    due = add(house, "tax", "2027-01-06")
    see_to(house, due, "2027-01-06")
    assert (now(house), seen(house).dues) == ([], ())
    assert [(one.name, one.on, one.seen_to_on) for one in seen(house).seen_to] == [
        ("tax", date(2027, 1, 6), on(1))
    ]
    reopen(house, due, "2027-01-06")
    assert now(house) == ["tax 2027-01-06 late"]
    assert seen(house).seen_to == ()


def test_what_repeats_goes_on_when_a_date_is_seen_to(house: House) -> None:
    due = add(house, "rent", "2027-01-08", MONTHLY)
    see_to(house, due, "2027-01-08")
    assert coming(house) == ["rent 2027-02-08"]
    reopen(house, due, "2027-01-08")
    assert coming(house) == ["rent 2027-01-08"]


def test_dates_can_be_seen_to_out_of_order(house: House) -> None:
    due = add(house, "rent", "2027-01-08", MONTHLY)
    for day in ("2027-02-08", "2027-01-08"):
        see_to(house, due, day)
    assert coming(house) == ["rent 2027-03-08"]
    reopen(house, due, "2027-01-08")
    see_to(house, due, "2027-01-08")
    assert coming(house) == ["rent 2027-03-08"]
    reopen(house, due, "2027-02-08")
    assert coming(house) == ["rent 2027-02-08"]


def test_what_was_overdue_for_most_of_a_year_is_seen_to_like_any_other(house: House) -> None:
    due = add(house, "tax", "2026-02-01")
    see_to(house, due, "2026-02-01")
    assert [(one.name, one.seen_to_on) for one in seen(house).seen_to] == [("tax", on(1))]
    see_to(house, due, "2026-02-01")
    assert add(house, "toll", "2026-02-01") != due


@pytest.mark.parametrize("open_day", ["2027-01-08", "2027-02-08"])
def test_a_date_seen_to_out_of_order_stays_so_while_an_earlier_one_is_open(
    house: House, open_day: str
) -> None:
    """However long that is: the one that is open may be the first of all, or come after others seen to."""
    due = add(house, "rent", "2027-01-08", MONTHLY)
    for day in ("2027-01-08", "2027-02-08", "2027-03-08"):
        if day != open_day:
            see_to(house, due, day)
    house.at(1500).mark(1500, "bed")
    assert [one.on.isoformat() for one in seen(house).now][:2] == [open_day, "2027-04-08"]


def test_seeing_to_it_twice_is_seeing_to_it_once(house: House) -> None:
    for due, day in ((add(house, "tax", "2027-01-06"), "2027-01-06"),
                     (add(house, "rent", "2027-01-08", MONTHLY), "2027-01-08")):  # fmt: skip
        see_to(house, due, day)
        see_to(house, due, day)
    assert len(written(house, "due-done")) == 2


def test_a_date_on_which_it_is_not_due_cannot_be_seen_to(house: House) -> None:
    due = add(house, "rent", "2027-01-08", MONTHLY)
    with pytest.raises(Unknown, match="“rent” is not due on 9 January 2027"):
        see_to(house, due, "2027-01-09")
    with pytest.raises(Unknown, match="There is no such due"):
        see_to(house, "20270101-0001", "2027-01-09")
    with pytest.raises(Unknown, match="Nothing of that was seen to"):
        reopen(house, due, "2027-01-09")


def test_reopening_twice_is_reopening_once(house: House) -> None:
    due = add(house, "rent", "2027-01-08", MONTHLY)
    see_to(house, due, "2027-01-08")
    reopen(house, due, "2027-01-08")
    rows = len(written(house, "due-done"))
    reopen(house, due, "2027-01-08")
    assert len(written(house, "due-done")) == rows


def test_a_date_of_what_has_been_taken_off_is_not_reopened(house: House) -> None:
    due = add(house, "rent", "2027-01-08", MONTHLY)
    see_to(house, due, "2027-01-08")
    dues.remove(house.context, HOME, due)
    with pytest.raises(Unknown, match="“rent” has been taken off"):
        reopen(house, due, "2027-01-08")


def test_settling_twice_what_was_due_years_ago_is_settling_once(house: House) -> None:
    due, years_ago = add(house, "Old tax", "2024-03-01"), date(2024, 3, 1)
    once = dues.see_to(house.context, HOME, due, years_ago)
    assert dues.see_to(house.context, HOME, due, years_ago) == once


def test_ids_are_never_given_twice(house: House) -> None:
    first = add(house, "tax", "2027-01-06")
    see_to(house, first, "2027-01-06")
    second = add(house, "toll", "2027-01-06")
    reopen(house, first, "2027-01-06")
    assert first != second
    assert {one.name for one in seen(house).dues} == {"tax", "toll"}


def test_what_repeats_and_began_before_today_is_owed_from_today(house: House) -> None:
    add(house, "rent", "2020-03-08", MONTHLY)
    assert (now(house), coming(house)) == ([], ["rent 2027-01-08"])


def test_a_single_date_that_is_past_is_overdue(house: House) -> None:
    add(house, "tax", "2020-03-08")
    assert now(house) == ["tax 2020-03-08 overdue"]


def test_a_due_can_be_changed(house: House) -> None:
    due = add(house, "rent", "2027-01-08", MONTHLY)
    see_to(house, due, "2027-01-08")
    dues.change(house.context, HOME, due, TypedDue("Rent", "2027-01-08", MONTHLY, "3", "900"))
    assert (coming(house), seen(house).dues[0].amount) == (["Rent 2027-02-08"], "900")
    dues.change(house.context, HOME, due, TypedDue("Rent", "2027-01-10", "", "3"))
    assert coming(house) == ["Rent 2027-01-10"]


def test_the_same_again_writes_nothing(house: House) -> None:
    due = add(house, "rent", "2027-01-08", MONTHLY)
    dues.change(house.context, HOME, due, TypedDue("rent", "2027-01-08", MONTHLY, "3"))
    assert len(written(house, "due")) == 1


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        (TypedDue("", "2027-01-20"), "name", "has no name"),
        (TypedDue("tax", ""), "on", "When is it due"),
        (TypedDue("tax", "2027-02-30"), "on", "“2027-02-30” is not a date"),
        (TypedDue("tax", "next week"), "on", "is not a date"),
        (TypedDue("tax", "0202-01-20"), "on", "between the years 1900 and 2200"),
        (TypedDue("tax", "2027-01-20", needs="some"), "needs", "is not a number of days"),
        (TypedDue("tax", "2027-01-20", needs="400"), "needs", "from 0 to 366, not 400"),
        (TypedDue("tax", "2027-01-20", amount="9" * 41), "amount", "Keep it to 40"),
        (TypedDue("tax", "2027-01-20", "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"), "repeats", "no such date"),
        (TypedDue("tax", "2027-02-01", "FREQ=MONTHLY;INTERVAL=12;BYMONTHDAY=30"), "repeats", "never comes"),
        (TypedDue("tax", "2027-01-20", "FREQ=HOURLY"), "repeats", "needs FREQ="),
        (TypedDue("tax", "2027-01-20", "monthly"), "repeats", "is not a part such as"),
    ],
)  # fmt: skip
def test_what_cannot_be_kept_is_said_beside_its_field(
    house: House, typed: TypedDue, field: str, said: str
) -> None:
    with pytest.raises(Unfit) as caught:
        dues.add(house.context, HOME, typed)
    assert [fault.field for fault in caught.value.faults] == [field]
    assert said in str(caught.value)
    assert written(house, "due") == []


def test_every_fault_is_said_at_once(house: House) -> None:
    with pytest.raises(Unfit) as caught:
        dues.add(house.context, HOME, TypedDue("", "soon", "", "x", "9" * 41))
    assert {fault.field for fault in caught.value.faults} == {"name", "on", "needs", "amount"}


def test_there_is_an_end_to_dues(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dues, "MOST", 1)
    add(house, "tax", "2027-01-20")
    with pytest.raises(NotEditable, match="There are 1 dues already"):
        add(house, "toll", "2027-01-20")
