"""One forecast a week is written down whoever looks, and judged once it is over."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.errors import StoreError
from coach.ground.situation import looking
from coach.habits import steps
from coach.habits.forecast_answers import Held
from coach.habits.forecast_record import record_in
from coach.habits.forecast_weekly import WritingDown, write_down
from coach.habits.forecasting import forecast
from habits.forecasting import LONG, held, lived, misses_every, put, spanning
from habits.house import HOME, House
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    import pytest


def marked(house: House, day: int) -> House:
    """The same house with the day's first mark."""
    house.at(day).mark(day, "bed")
    return house


def test_what_is_written_is_the_forecast_of_that_day_with_the_steps_it_is_about() -> None:
    house = marked(lived(14), 15)
    span = forecast(house.context, HOME).span
    assert write_down(house.context, HOME)
    assert held(house) == {
        f"{on(15)}": {"from": f"{span.from_}", "to": f"{span.to}", "steps": ["cups", "lamp", "door"]}
    }


def test_a_day_without_a_mark_has_none_and_may_still_get_one() -> None:
    house = lived(14)
    assert not write_down(house.context, HOME)
    assert not held(house)


def test_the_first_six_days_have_none() -> None:
    house = House(a_course(*(a_step(name, settles={"kept": 20, "of": 30}) for name in "abc"), at_once=3))
    house.begun("a")
    found = []
    for day in range(1, 9):
        lived(day, house=house).at(day)
        write_down(house.context, HOME)
        found.append(len(held(house)))
        house.at(day + 1)
    assert found == [0, 0, 0, 0, 0, 0, 1, 2]  # the seventh day is a Sunday, and a week begins on Monday


def test_a_week_has_one_however_often_it_is_asked() -> None:
    house = lived(14)
    for day in range(15, 24):
        lived(day, house=house).at(day)
        assert write_down(house.context, HOME)
        assert write_down(house.context, HOME)
    assert list(held(house)) == [f"{on(15)}", f"{on(22)}"]


def test_where_the_first_day_cannot_say_the_week_gets_its_forecast_later() -> None:
    house = lived(12).at(24)
    house.mark(24, "bed")
    assert write_down(house.context, HOME)
    assert not held(house)
    house.at(25).mark(25, "bed")
    write_down(house.context, HOME)
    assert list(held(house)) == [f"{on(25)}"]


def test_nothing_is_over_while_the_range_lasts() -> None:
    house = lived(14)
    put(house, 8, spanning(10, 15, "cups"))
    assert forecast(house.context, HOME).record == Held(0, 0)


def test_a_range_that_has_passed_did_not_hold() -> None:
    house = lived(14)
    put(house, 8, spanning(10, 14, "door"))
    assert forecast(house.context, HOME).record == Held(1, 0)


def test_once_its_steps_have_settled_it_held_if_the_last_one_did_so_within_the_range() -> None:
    house = lived(14, misses_every(99))
    with looking(house.context, HOME) as where:
        settled = [where.state.records[step].settled for step in ("bed", "cups")]
    assert settled == [on(6), on(12)]
    for day, (first, last) in enumerate(((1, 12), (12, 12), (12, 40), (13, 40), (1, 11)), 2):
        put(house, day, spanning(first, last, "bed", "cups"))
    assert forecast(house.context, HOME).record == Held(5, 3)


def test_a_step_set_aside_since_asks_for_nothing_and_one_added_since_changes_nothing() -> None:
    house = lived(14, misses_every(99))
    put(house, 8, spanning(9, 12, "cups", "door"))
    put(house, 9, spanning(9, 12, "door"))
    steps.set_aside(house.context, HOME, "door")
    assert forecast(house.context, HOME).record == Held(1, 1)
    steps.set_aside(house.context, HOME, "cups")
    assert forecast(house.context, HOME).record == Held(0, 0)


def test_a_step_that_has_another_id_by_now_is_judged_under_that_one() -> None:
    house = lived(14, misses_every(99))
    put(house, 8, spanning(9, 12, "cups"))
    named = a_step("mugs", formerly=["cups"], settles={"kept": 6, "of": 9})
    others = [step for step in LONG.steps if step.id != "cups"]
    house.shelf.put(replace(LONG, steps=(others[0], named, *others[1:])))
    assert forecast(house.context, HOME).record == Held(1, 1)


def test_one_that_cannot_be_read_is_left_out_and_named() -> None:
    house = lived(14)
    for day, value in enumerate(({}, "soon", {"from": "then", "to": "2027-01-05", "steps": []}), 2):
        put(house, day, value)
    with looking(house.context, HOME) as where:
        assert record_in(where) == Held(0, 0)
        assert sum("An earlier forecast" in one.text for one in where.findings) == 3


def test_rounds_look_at_those_that_wrote_once_a_day_and_go_on_after_a_fault(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    house, rounds = lived(14), WritingDown()
    whole = house.store.version

    def torn(household: str) -> object:
        if household == "torn":
            raise StoreError("torn")
        return whole(household)

    monkeypatch.setattr(house.store, "version", torn)
    assert not rounds.round(house.context, [HOME])
    marked(house, 15)
    [fault] = rounds.round(house.context, ["torn", HOME, "nobody"])
    assert isinstance(fault, StoreError)
    assert list(held(house)) == [f"{on(15)}"]
    assert rounds.seen == {HOME: on(15)}


def test_rounds_that_are_told_to_end_look_no_more() -> None:
    house = marked(lived(14), 15)
    assert not WritingDown().round(house.context, [HOME], lambda: False)
    assert not held(house)
