from __future__ import annotations

from dataclasses import replace

from areas.rules.homes import MONDAY, area, day, hourly, ids, task, tern_street
from coach.areas.rules.enough import coverage
from coach.areas.rules.model import Area
from coach.areas.rules.rotation import Mode


def test_a_pass_takes_its_visits_times_the_areas() -> None:
    rows = coverage(tern_street(), hourly(3, MONDAY), MONDAY)
    assert [(row.area.id, row.minutes, row.visits, row.weeks) for row in rows] == [
        ("kitchen", 90, 2, 6),
        ("bath", 30, 1, 3),
        ("stairs", 25, 1, 3),
    ]


def test_fewer_minutes_a_week_take_more_visits() -> None:
    rows = coverage(tern_street(), hourly(3, MONDAY, minutes_a_week=30), MONDAY)
    assert [(row.visits, row.weeks) for row in rows] == [(3, 9), (1, 3), (1, 3)]


def test_tasks_longer_than_the_week_are_pointed_out() -> None:
    rows = coverage(tern_street(), hourly(3, MONDAY, minutes_a_week=39), MONDAY)
    assert [ids(row.too_long) for row in rows] == [["oven"], [], []]
    assert ids(coverage(tern_street(), hourly(3, MONDAY, minutes_a_week=40), MONDAY)[0].too_long) == []


def test_tasks_wanted_more_often_than_they_come_are_pointed_out() -> None:
    areas = (area("kitchen", task("filter", 5, 14), task("oven", 5, 13), task("tap", 5)), area("bath"))
    assert ids(coverage(areas, hourly(2, MONDAY), MONDAY)[0].too_rare) == ["oven"]


def test_an_area_without_tasks_needs_nothing() -> None:
    row = coverage((Area("attic", "Attic"),), hourly(1, MONDAY), MONDAY)[0]
    assert (row.minutes, row.visits, row.weeks) == (0, 0, 0)


def test_by_month_an_area_comes_once_a_month() -> None:
    rows = coverage(tern_street(), hourly(3, MONDAY, Mode.MONTH), day("2027-01-20"))
    # From February on: kitchen in the first weeks of February and March, and anew in April's, on 29 March.
    assert [(row.visits, row.weeks) for row in rows] == [(2, 8), (1, 4), (1, 4)]


def test_by_month_shared_weeks_give_their_share() -> None:
    five = (*tern_street(), area("hall", task("mat", 30), task("lamp", 30)), area("attic", task("box", 45)))
    rows = coverage(five, hourly(5, MONDAY, Mode.MONTH), MONDAY)
    # January, February and March have four weeks, April has five: half an hour each until then.
    assert [(row.visits, row.weeks) for row in rows[3:]] == [(2, 8), (1, 4)]
    assert rows[4].too_long == ()


def test_before_the_start_the_weeks_are_counted_from_the_week_asked_about() -> None:
    rows = coverage(tern_street(), hourly(3, MONDAY, Mode.MONTH), day("2026-11-30"))
    # The kitchen's weeks are those of 30 November, 4 January and, anew, 1 February.
    assert [row.weeks for row in rows] == [9, 5, 5]


def test_skips_and_swaps_are_left_aside() -> None:
    for mode in Mode:
        plain = hourly(3, MONDAY, mode)
        changed = replace(plain, skipped=frozenset({3, 4}), swapped=((0, 12), (4, 6)))
        assert coverage(tern_street(), changed, MONDAY) == coverage(tern_street(), plain, MONDAY)
