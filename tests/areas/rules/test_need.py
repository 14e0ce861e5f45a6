"""By need, worked out by hand: ratios, needs, whose week it is, and what weighs most."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from areas.rules.homes import MONDAY, area, day, plan, task
from coach.areas.rules.forecast import forecast
from coach.areas.rules.need import History, days_since, heaviest, need, neediest, weight
from coach.areas.rules.passes import Book, Opening, begin, open_on
from coach.areas.rules.replanning import decluttered, given, rearranged, redivided, skipped
from coach.areas.rules.rotation import Mode, Rotation
from coach.errors import Malformed

if TYPE_CHECKING:
    from coach.areas.rules.plan import Plan


def history(
    done: dict[str, str] | None = None, turns: dict[str, int] | None = None, counted: int = 0
) -> History:
    last = {name: day(text) for name, text in (done or {}).items()}
    return History(MONDAY, last, turns or {}, counted)


def by_need(*areas_of: object) -> Plan:
    return plan(*areas_of, rotation=Rotation(len(areas_of), MONDAY, Mode.NEED))  # type: ignore[arg-type]


def home() -> Plan:
    """A bath of 30 minutes, a kitchen of 40, a hall of 10."""
    return by_need(
        area("bath", task("screen", 20, 28), task("drain", 10)),
        area("kitchen", task("oven", 40, 60)),
        area("hall", task("mat", 10, 14), declutter=(task("hats", 15),)),
    )


def opened(on: str, done: dict[str, list[str]], found: Plan, *more: Plan) -> Opening:
    book = Book((found, *more), {day(text): tasks for text, tasks in done.items()})
    return open_on(begin(book), book, day(on))


def whose(opening: Opening) -> str:
    (one,) = opening.areas
    return one.area.id


@pytest.mark.parametrize(
    ("every_days", "done", "week", "expected"),
    [
        (14, "2027-01-04", "2027-01-25", 1.5),
        (14, "2027-01-04", "2027-01-04", 0),
        (None, "2027-01-04", "2027-02-18", 0.5),
        (7, "2026-01-05", "2027-01-25", 3),
        (14, None, "2027-01-04", 1),
        (14, None, "2027-01-11", 1.5),
        (None, None, "2027-02-18", 1.5),
        (1, None, "2027-01-11", 3),
    ],
)
def test_a_tasks_ratio_is_the_days_since_over_its_interval_and_at_most_three(
    every_days: int | None, done: str | None, week: str, expected: float
) -> None:
    one = task("one", 1, every_days)
    assert weight(one, days_since(one, history({"one": done} if done else {}), day(week))) == expected


def test_before_the_start_date_no_days_have_passed() -> None:
    one = task("one", 1, 1)
    assert weight(one, days_since(one, history(), day("2026-12-28"))) == 1


def test_an_areas_need_is_the_sum_of_minutes_times_ratio() -> None:
    bath = home().areas[0]
    # The screen 28 days after its 28, the drain 45 of 90 days: 20 · 2 + 10 · 0.5.
    done = history({"screen": "2027-01-04", "drain": "2027-01-15"})
    assert need(bath, done, day("2027-03-01")) == 45


def test_the_area_with_the_greatest_need_has_the_week() -> None:
    assert whose(opened("2027-01-04", {}, home())) == "kitchen"


def test_never_the_area_of_the_week_before_if_there_are_others() -> None:
    assert [whose(opened(on, {}, home())) for on in ("2027-01-11", "2027-01-18")] == ["bath", "kitchen"]
    alone = by_need(area("kitchen", task("oven", 40)))
    assert whose(opened("2027-01-11", {}, alone)) == "kitchen"


def test_equal_needs_go_by_the_latest_turn_then_by_position() -> None:
    three = by_need(*(area(name, task(f"{name}-task", 10)) for name in ("a", "b", "c"))).areas
    assert neediest(three, history(), MONDAY) == 1
    assert neediest(three, history(turns={"a": 3, "b": 0, "c": 1}, counted=4), MONDAY) == 2


def test_needs_are_compared_at_nine_decimals() -> None:
    # A tenth and a fifth are 0.30000000000000004 in binary, and three tenths are less.
    two = by_need(area("a", task("tenth", 1, 10), task("fifth", 1, 5)), area("b", task("three", 1, 10))).areas
    done = {"tenth": "2027-01-03", "fifth": "2027-01-03", "three": "2027-01-01"}
    assert neediest(two, history(done, {"a": 1, "b": 0}, 3), MONDAY) == 2


@pytest.mark.parametrize(("days", "expected"), [(None, 3), (30, 2)], ids=["equal lists", "other lists"])
def test_of_equal_areas_one_that_waited_twice_as_many_weeks_as_there_are_areas_comes_first(
    days: int | None, expected: int
) -> None:
    areas = by_need(
        *(area(name, task(f"{name}-task", 10, days if name == "b" else None)) for name in "abc")
    ).areas
    turns, done = {"a": 9, "b": 8, "c": 5}, {"c-task": "2027-01-03"}
    assert neediest(areas, history(done, turns, 10), MONDAY) == 2
    assert neediest(areas, history(done, turns, 11), MONDAY) == expected


def test_what_was_done_before_the_week_chooses_it_and_what_is_done_in_it_does_not() -> None:
    done = {"2027-01-05": ["oven"], "2027-01-06": ["screen", "drain"]}
    assert whose(opened("2027-01-11", done, home())) == "hall"
    assert whose(opened("2027-01-11", {"2027-01-11": ["screen", "drain"]}, home())) == "bath"


def test_a_week_away_does_not_count() -> None:
    away = {date(2027, 1, 11 + ahead) for ahead in range(7)}
    book = Book((home(),), {}, away.__contains__)
    opening = open_on(begin(book), book, day("2027-01-18"))
    assert (whose(opening), opening.turn.number) == ("bath", 1)


def test_a_week_left_free_counts_and_nobody_has_it() -> None:
    found = home()
    free = skipped(found, opened("2027-01-04", {}, found).turn)
    assert opened("2027-01-04", {}, free).areas == ()
    assert whose(opened("2027-01-11", {}, free)) == "kitchen"


def test_what_weighs_most_is_the_heaviest_task() -> None:
    done = history({"screen": "2026-11-01", "drain": "2027-01-01"})
    found = heaviest(home().areas[0], done, MONDAY)
    assert found is not None
    assert (found.task.id, found.done, found.over) == ("screen", True, 36)
    assert heaviest(area("empty"), done, MONDAY) is None


def test_a_change_of_the_lists_leaves_this_week_with_its_area() -> None:
    found = home()
    turn = opened("2027-01-06", {}, found).turn
    long = task("long", 200)
    more = tuple(area(one.id, *one.detail, *([long] if one.id == "hall" else [])) for one in found.areas)
    changed = redivided(found, more, day("2027-01-06"), turn)
    assert whose(opened("2027-01-06", {}, found, changed)) == "kitchen"
    assert whose(opened("2027-01-11", {}, found, changed)) == "hall"
    fewer = redivided(changed, more[1:], day("2027-01-07"), turn)
    assert whose(opened("2027-01-07", {}, found, changed, fewer)) == "kitchen"
    gone = redivided(fewer, more[2:], day("2027-01-08"), turn)
    assert whose(opened("2027-01-08", {}, found, changed, fewer, gone)) == "hall"


def test_other_minutes_leave_this_week_with_its_area_and_another_mode_goes_on_from_it() -> None:
    found = home()
    turn = opened("2027-01-06", {}, found).turn
    shorter = rearranged(found, Rotation(3, MONDAY, Mode.NEED, minutes_a_week=20), day("2027-01-06"), turn)
    (one,) = opened("2027-01-06", {}, found, shorter).areas
    assert (one.area.id, one.minutes) == ("kitchen", 20)
    in_order = rearranged(found, Rotation(3, MONDAY), day("2027-01-06"), turn)
    served = [whose(opened(on, {}, found, in_order)) for on in ("2027-01-06", "2027-01-11")]
    assert served == ["kitchen", "hall"]


def test_a_week_can_be_given_to_another_area() -> None:
    found = home()
    changed = given(found, opened("2027-01-04", {}, found).turn, "hall")
    assert whose(opened("2027-01-04", {}, changed)) == "hall"
    assert whose(opened("2027-01-11", {}, changed)) == "kitchen"


def test_a_declutter_round_by_need_serves_every_area_once() -> None:
    found = home()
    changed = decluttered(found, opened("2027-01-04", {}, found).turn)
    weeks = ("2027-01-04", "2027-01-11", "2027-01-18", "2027-01-25")
    served = [whose(opened(on, {}, changed)) for on in weeks]
    assert sorted(served[:3]) == ["bath", "hall", "kitchen"]


def test_weeks_to_come_are_those_that_follow_if_each_weeks_list_is_done() -> None:
    book = Book((home(),), {day("2027-01-04"): ["oven"]})
    passes = begin(book)
    ahead = list(forecast(passes, book, 4))
    assert [whose(one) for one in ahead] == ["kitchen", "bath", "hall", "kitchen"]
    assert passes == begin(book)


def test_a_forecast_ends_with_the_calendar() -> None:
    book = Book((home(),), {})
    with pytest.raises(Malformed, match="Ask for fewer"):
        list(forecast(begin(book), book, 600_000))
