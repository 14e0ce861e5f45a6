from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from areas.rules.homes import MONDAY, area, day, hourly, plan, tern_street
from coach.areas.rules.replanning import decluttered, rearranged, redivided, restarted, skipped, swapped
from coach.areas.rules.rotation import (
    Mode,
    Rotation,
    Turn,
    a_round,
    number_of,
    shares,
    spread,
    turn_of,
    turns,
)
from coach.errors import Malformed
from coach.ground.weeks import WEEK, WeekStart

if TYPE_CHECKING:
    from coach.areas.rules.plan import Plan


def areas_of(rotation: Rotation, weeks: int, away: set[date] | None = None) -> list[tuple[int, ...]]:
    shown = turns(rotation, rotation.first_week, 0, weeks, (away or set()).__contains__)
    return [turn.areas for turn in shown]


def whole_week(first: str) -> set[date]:
    return {day(first) + timedelta(days=ahead) for ahead in range(7)}


def test_areas_follow_one_another_from_the_chosen_one() -> None:
    rotation = hourly(3, day("2027-01-06"), first=2)
    assert areas_of(rotation, 5) == [(2,), (3,), (1,), (2,), (3,)]
    assert rotation.first_week == MONDAY


def test_an_area_waits_while_every_day_of_its_week_is_away() -> None:
    away = whole_week("2027-01-11") | whole_week("2027-01-18")
    assert areas_of(hourly(3, MONDAY), 6, away) == [(1,), (2,), (2,), (2,), (3,), (1,)]


def test_a_week_with_one_day_at_home_counts() -> None:
    away = whole_week("2027-01-11") - {day("2027-01-14")}
    assert areas_of(hourly(3, MONDAY), 3, away) == [(1,), (2,), (3,)]


def test_a_week_that_waits_says_so() -> None:
    away = whole_week("2027-01-04")
    first, second = turns(hourly(3, MONDAY), MONDAY, 0, 2, away.__contains__)
    assert (first.waits, first.number, second.waits, second.number) == (True, 0, False, 0)


def test_the_number_of_a_turn_counts_the_weeks_that_count() -> None:
    away = whole_week("2027-01-11").__contains__
    assert number_of(hourly(3, MONDAY), day("2027-02-01"), away) == 3
    assert number_of(hourly(3, MONDAY, Mode.MONTH), day("2027-02-01"), away) == 4
    assert number_of(hourly(3, MONDAY), day("2026-12-21"), away) == -2


def test_before_the_start_no_area_has_a_turn() -> None:
    turn = turn_of(hourly(3, MONDAY), day("2026-12-28"), -1)
    assert (turn.areas, turn.catch_up) == ((), False)


def test_by_month_week_w_is_area_ws() -> None:
    # January 2027 has four weeks, from the 4th on; April has five, from 29 March on.
    rotation = hourly(5, MONDAY, Mode.MONTH, first=3)
    assert areas_of(rotation, 5) == [(1,), (2,), (3,), (4, 5), (1,)]
    assert areas_of(replace(rotation, start=day("2027-03-29")), 6) == [(1,), (2,), (3,), (4,), (5,), (1,)]


def test_the_areas_left_share_the_last_week_in_whole_minutes() -> None:
    turn = turn_of(hourly(12, MONDAY, Mode.MONTH), day("2027-01-25"), 3)
    assert turn.areas == (4, 5, 6, 7, 8, 9, 10, 11, 12)
    assert turn.minutes == (12, 6, 6, 6, 6, 6, 6, 6, 6)


def test_with_fewer_areas_than_weeks_the_last_weeks_are_for_catching_up() -> None:
    shown = list(turns(hourly(2, MONDAY, Mode.MONTH), MONDAY, 0, 5))
    assert [turn.catch_up for turn in shown] == [False, False, True, True, False]
    assert [turn.minutes for turn in shown] == [(60,), (60,), (), (), (60,)]


def test_absences_change_nothing_by_month() -> None:
    away = whole_week("2027-01-11")
    assert areas_of(hourly(4, MONDAY, Mode.MONTH), 4, away) == [(1,), (2,), (3,), (4,)]


@pytest.mark.parametrize(
    ("minutes", "among", "split"), [(60, 2, (30, 30)), (60, 7, (12, *(8,) * 6)), (5, 9, (5, *(0,) * 8))]
)
def test_what_is_left_over_goes_to_the_first(minutes: int, among: int, split: tuple[int, ...]) -> None:
    assert shares(minutes, among) == split


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"areas": 0}, "1 to 12 areas, not 0"),
        ({"areas": 13}, "1 to 12 areas, not 13"),
        ({"first": 4}, "from 1 to 3, not 4"),
        ({"first": 0}, "from 1 to 3, not 0"),
        ({"minutes_a_week": 0}, "from 1 to 1440, not 0"),
        ({"minutes_a_week": 2000}, "from 1 to 1440, not 2000"),
    ],
)
def test_a_rotation_that_cannot_be_is_refused(wrong: dict[str, Any], said: str) -> None:
    with pytest.raises(Malformed, match=said):
        Rotation(**{"areas": 3, "start": MONDAY, **wrong})


def test_more_weeks_than_the_calendar_has_are_refused() -> None:
    with pytest.raises(Malformed, match="no 600000 weeks"):
        next(turns(hourly(3, MONDAY), MONDAY, 0, 600_000))


def test_a_round_serves_every_area() -> None:
    assert a_round(hourly(7, MONDAY)) == 7
    assert a_round(hourly(7, MONDAY, Mode.MONTH)) == 4
    # From the second week of January on the first area comes again in February.
    assert a_round(hourly(7, MONDAY, Mode.MONTH), 1) == 4
    assert a_round(hourly(2, MONDAY, Mode.MONTH), 1) == 4


def shown(a_plan: Plan, weeks: int, start: date = MONDAY) -> list[Turn]:
    rotation = a_plan.rotation
    return list(turns(rotation, start, number_of(rotation, start), weeks))


def named(a_plan: Plan, weeks: int, start: date = MONDAY) -> list[str]:
    """The areas of some weeks by name, “-” for a free week."""
    return [
        "+".join(a_plan.areas[place - 1].id for place in turn.areas) or "-"
        for turn in shown(a_plan, weeks, start)
    ]


def test_a_skipped_turn_leaves_its_week_free_and_the_rotation_goes_on() -> None:
    second = shown(plan(), 2)[1]
    assert named(skipped(plan(), second), 4) == ["kitchen", "-", "stairs", "kitchen"]


def test_swapped_turns_stand_in_each_others_place() -> None:
    now, _, later = shown(plan(), 3)
    changed = swapped(plan(), now, later)
    assert named(changed, 4) == ["stairs", "bath", "kitchen", "kitchen"]
    back = swapped(changed, *(shown(changed, 3)[place] for place in (0, 2)))
    assert named(back, 4) == named(plan(), 4)


def test_swaps_are_made_one_after_the_other() -> None:
    once = swapped(plan(), *shown(plan(), 2))
    twice = swapped(once, *shown(once, 3)[1:])
    assert named(twice, 4) == ["bath", "stairs", "kitchen", "kitchen"]


def test_a_skipped_turn_moves_when_it_is_swapped() -> None:
    now, following, _ = shown(plan(), 3)
    free = skipped(plan(), now)
    assert named(swapped(free, now, following), 3) == ["bath", "-", "stairs"]


def test_a_turn_skipped_after_a_swap_is_the_one_that_stands_there() -> None:
    changed = swapped(plan(), *shown(plan(), 2))
    assert named(skipped(changed, shown(changed, 1)[0]), 3) == ["-", "kitchen", "stairs"]


def test_a_swap_stays_what_it_was_when_a_week_between_turns_out_away() -> None:
    now, _, later = shown(plan(), 3)
    rotation = swapped(plan(), now, later).rotation
    away = whole_week("2027-01-11")
    assert areas_of(rotation, 4, away) == [(3,), (2,), (2,), (1,)]


def test_by_month_a_swapped_week_takes_its_minutes_along() -> None:
    by_month = plan(*tern_street(), area("hall"), area("attic"), rotation=hourly(5, MONDAY, Mode.MONTH))
    first, *_, last = shown(by_month, 4)
    changed = shown(swapped(by_month, first, last), 4)
    assert [turn.areas for turn in changed] == [(4, 5), (2,), (3,), (1,)]
    assert changed[0].minutes == (30, 30)


@pytest.mark.parametrize("weeks", [("2027-01-04", "2027-01-04"), ("2026-12-28", "2027-01-04")])
def test_a_turn_changes_places_with_another_one_since_the_start_alone(weeks: tuple[str, str]) -> None:
    one, other = (
        turn_of(plan().rotation, day(week), number_of(plan().rotation, day(week))) for week in weeks
    )
    with pytest.raises(Malformed, match="Two different turns"):
        swapped(plan(), one, other)


def test_a_new_area_joins_without_moving_the_turn_of_this_week() -> None:
    week = day("2027-01-11")
    changed = redivided(plan(), (*tern_street(), area("hall")), day("2027-01-13"), shown(plan(), 2)[1])
    assert named(changed, 5, week) == ["bath", "stairs", "hall", "kitchen", "bath"]


def test_the_turn_of_an_area_that_goes_is_the_next_ones() -> None:
    kitchen, _, stairs = tern_street()
    changed = redivided(plan(), (stairs, kitchen), day("2027-01-13"), shown(plan(), 2)[1])
    assert named(changed, 3, day("2027-01-11")) == ["stairs", "kitchen", "stairs"]


def test_other_tasks_leave_the_rotation_as_it_is() -> None:
    kitchen, *others = tern_street()
    changed = redivided(
        plan(), (replace(kitchen, detail=()), *others), day("2027-01-13"), shown(plan(), 2)[1]
    )
    assert changed.rotation == plan().rotation
    assert changed.since == day("2027-01-13")


def test_swaps_to_come_outlive_a_new_area() -> None:
    now, second, third = shown(plan(), 3)
    both = swapped(plan(), second, third)
    changed = redivided(both, (*tern_street(), area("hall")), day("2027-01-05"), now)
    assert named(changed, 5) == ["kitchen", "stairs", "bath", "hall", "kitchen"]


def test_a_turn_left_free_stays_with_its_week_when_the_areas_change() -> None:
    _, now, third = shown(plan(), 3)
    changed = redivided(skipped(plan(), third), (*tern_street(), area("hall")), now.week, now)
    assert named(changed, 4, now.week) == ["bath", "-", "hall", "kitchen"]


def test_areas_changed_before_the_start_leave_it_where_it_is() -> None:
    before = turn_of(plan().rotation, day("2026-12-28"), -1)
    changed = redivided(plan(), (*tern_street(), area("hall")), day("2026-12-30"), before)
    assert changed.rotation.first_week == MONDAY
    assert named(changed, 2) == ["kitchen", "bath"]


def test_a_home_divided_all_anew_begins_with_its_first_area() -> None:
    changed = redivided(plan(), (area("hall"), area("attic")), day("2027-01-13"), shown(plan(), 2)[1])
    assert named(changed, 3, day("2027-01-11")) == ["hall", "attic", "hall"]
    assert changed.since == day("2027-01-13")


def test_swaps_to_come_are_numbered_anew_when_the_areas_change_later() -> None:
    _, now, third, fourth = shown(plan(), 4)
    both = swapped(plan(), third, fourth)
    changed = redivided(both, (*tern_street(), area("hall")), now.week, now)
    assert named(changed, 4, now.week) == ["bath", "hall", "stairs", "kitchen"]


def test_a_week_that_begins_earlier_keeps_the_first_turn() -> None:
    late = plan(rotation=hourly(3, day("2027-01-10")))
    now = shown(late, 1)[0]
    changed = rearranged(late, replace(late.rotation, starts=WeekStart.SUNDAY), day("2027-01-10"), now)
    assert named(changed, 2, day("2027-01-03")) == ["kitchen", "bath"]


def test_declutter_weeks_go_on_when_the_weeks_begin_on_another_day() -> None:
    _, second, third = shown(plan(), 3)
    changed = rearranged(
        decluttered(plan(), second), replace(plan().rotation, minutes_a_week=30), third.week, third
    )
    assert [changed.task_list(number).value for number in range(3)] == ["declutter", "declutter", "detail"]


def test_by_month_declutter_weeks_are_one_round_too() -> None:
    by_month = plan(*(area(f"a{number}") for number in range(5)), rotation=hourly(5, MONDAY, Mode.MONTH))
    chosen = decluttered(by_month, shown(by_month, 3)[2])
    assert [chosen.task_list(number).value for number in (1, 2, 5, 6)] == [
        "detail",
        "declutter",
        "declutter",
        "detail",
    ]


def test_going_continuous_begins_with_this_weeks_area() -> None:
    by_month = plan(rotation=hourly(3, MONDAY, Mode.MONTH))
    turn = shown(by_month, 2)[1]
    changed = rearranged(by_month, hourly(3, MONDAY), day("2027-01-14"), turn)
    assert named(changed, 4, day("2027-01-11")) == ["bath", "stairs", "kitchen", "bath"]


@pytest.mark.parametrize("since", ["2027-01-11", "2027-01-14", "2027-01-17"])
def test_sunday_weeks_take_up_the_turn_of_the_week_they_share_most_days_with(since: str) -> None:
    turn = shown(plan(), 2)[1]
    changed = rearranged(plan(), replace(plan().rotation, starts=WeekStart.SUNDAY), day(since), turn)
    assert named(changed, 3, day("2027-01-10")) == ["bath", "stairs", "kitchen"]


def test_a_new_mode_forgets_skips_and_swaps() -> None:
    free = skipped(plan(), shown(plan(), 2)[1])
    changed = rearranged(free, hourly(3, MONDAY, Mode.MONTH), MONDAY, shown(plan(), 1)[0])
    assert named(changed, 3) == ["kitchen", "bath", "stairs"]


def test_a_rotation_started_anew_begins_with_the_chosen_area() -> None:
    free = skipped(plan(), shown(plan(), 2)[1])
    changed = restarted(free, 3, day("2027-01-13"))
    assert named(changed, 3, day("2027-01-11")) == ["stairs", "kitchen", "bath"]


def test_declutter_weeks_are_one_round_unless_chosen() -> None:
    turn = shown(plan(), 2)[1]
    assert [decluttered(plan(), turn).task_list(number).value for number in range(5)] == [
        "detail",
        "declutter",
        "declutter",
        "declutter",
        "detail",
    ]
    assert decluttered(plan(), turn, 1).task_list(2).value == "detail"
    for weeks in (0, 5000):
        with pytest.raises(Malformed, match="Declutter weeks go from 1"):
            decluttered(plan(), turn, weeks)


def test_declutter_weeks_go_on_when_the_areas_change() -> None:
    turn = shown(plan(), 2)[1]
    changed = redivided(
        decluttered(plan(), turn), (*tern_street(), area("hall")), turn.week + WEEK, shown(plan(), 3)[2]
    )
    assert [changed.task_list(number).value for number in range(3)] == ["declutter", "declutter", "detail"]


def test_the_areas_minutes_are_spread_over_the_chosen_days() -> None:
    assert spread(MONDAY, 60, {2, 5}) == {day("2027-01-06"): 30, day("2027-01-09"): 30}
    # A week that begins on Sunday: what is left over goes to its first chosen day.
    sunday = day("2027-01-03")
    assert spread(sunday, 61, {6, 0}) == {sunday: 31, day("2027-01-04"): 30}
    assert spread(MONDAY, 60, ()) == {}


def test_a_weekday_that_is_none_is_refused() -> None:
    with pytest.raises(Malformed, match="0 \\(Monday\\) to 6, not 7"):
        spread(MONDAY, 60, {7})
