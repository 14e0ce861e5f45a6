from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from areas.rules.homes import MONDAY, area, day, hourly, ids, kitchen, plan, task, tern_street
from coach.areas.rules.kept_passes import passes_from_json, passes_json
from coach.areas.rules.model import Area
from coach.areas.rules.packing import fitting, visits
from coach.areas.rules.passes import (
    AreaWeek,
    Book,
    Opening,
    begin,
    done_in_week,
    open_on,
    spot_task,
    turns_ahead,
)
from coach.areas.rules.plan import Plan, Way, plan_for
from coach.areas.rules.replanning import decluttered, rearranged, redivided, skipped
from coach.areas.rules.rotation import Mode
from coach.errors import Malformed, OutOfRange
from coach.ground.weeks import WeekStart


def opened(
    on: str, done: dict[str, list[str]] | None = None, *plans: Plan, away: set[date] | None = None
) -> Opening:
    """The week that holds a date, of Tern Street unless plans are given."""
    marks = {day(text): tasks for text, tasks in (done or {}).items()}
    book = Book(plans or (plan(),), marks, (away or set()).__contains__)
    return open_on(begin(book), book, day(on))


def only(opening: Opening) -> AreaWeek:
    (area_week,) = opening.areas
    return area_week


def alone(*tasks: tuple[str, int], minutes: int = 60) -> Plan:
    """A home of one area, so that every week is its turn."""
    one = area("kitchen", *(task(*named) for named in tasks))
    return plan(one, rotation=hourly(1, MONDAY, minutes_a_week=minutes))


@pytest.mark.parametrize(
    ("minutes", "most", "fit"),
    [
        ([40, 20, 10, 20], 60, 2),
        ([40, 30, 10], 60, 1),  # the third would fit, but the second stops the list
        ([90, 5], 60, 1),  # a longer first task stands alone
        ([60], 60, 1),
        ([20, 20], 60, 2),
        ([], 60, 0),
    ],
)
def test_a_list_goes_on_until_the_next_task_does_not_fit(minutes: list[int], most: int, fit: int) -> None:
    assert fitting(minutes, most) == fit


def test_a_pass_takes_as_many_visits_as_it_fills_weeks() -> None:
    assert visits([40, 20, 10, 20], 60) == 2
    assert visits([90, 5, 60, 5], 60) == 4
    assert visits([], 60) == 0


def test_the_weeks_list_is_what_fits_and_the_rest_is_if_there_is_time() -> None:
    week = only(opened("2027-01-07"))
    assert (week.area.id, week.minutes) == ("kitchen", 60)
    assert (ids(week.listed), ids(week.if_time)) == (["oven", "tiles"], ["bin", "shelf"])


def test_the_list_stays_as_it_opened_while_tasks_are_ticked() -> None:
    assert opened("2027-01-10", {"2027-01-04": ["oven"]}) == opened("2027-01-04")


def test_the_next_turn_goes_on_where_this_one_stopped() -> None:
    done = {"2027-01-05": ["oven"], "2027-01-08": ["shelf"]}
    assert ids(only(opened("2027-01-25", done)).left) == ["tiles", "bin"]


def test_a_new_pass_starts_when_a_week_opens_with_nothing_left() -> None:
    done = {"2027-01-05": ["oven", "tiles", "bin", "shelf"]}
    week = only(opened("2027-01-25", done))
    assert week.new_pass
    assert ids(week.left) == ["oven", "tiles", "bin", "shelf"]
    assert not only(opened("2027-01-04", done)).new_pass


def test_a_task_done_at_another_time_is_done_in_the_pass() -> None:
    assert ids(only(opened("2027-01-11", {"2027-01-05": ["grout"]})).left) == ["drain"]


def test_what_was_done_before_the_start_is_done_in_the_first_pass() -> None:
    assert ids(only(opened("2027-01-04", {"2026-12-30": ["oven"]})).left) == ["tiles", "bin", "shelf"]


@pytest.mark.parametrize(
    ("every", "listed", "held"),
    [(20, ["filter", "bin"], []), (26, ["filter", "bin"], []), (27, ["bin"], ["filter"])],
)
def test_a_task_whose_days_have_not_run_out_by_the_weeks_last_day_is_left_out(
    every: int, listed: list[str], held: list[str]
) -> None:
    # Done on Tuesday the 5th; the kitchen's next week ends on Sunday the 31st, 26 days later.
    home = (area("kitchen", task("filter", 5, every), task("bin", 5)), *tern_street()[1:])
    week = only(opened("2027-01-25", {"2027-01-05": ["filter", "bin"]}, plan(*home)))
    assert (ids(week.listed), ids(week.held_back)) == (listed, held)
    if held:
        assert week.held_back[0].ready == day("2027-02-01")


def test_a_pass_does_not_wait_for_what_is_held_back() -> None:
    home = area("kitchen", task("filter", 5, 90), task("bin", 5))
    done = {"2026-12-01": ["filter"], "2027-01-05": ["bin"]}
    book_plan = plan(home, rotation=hourly(1, MONDAY))
    # Done in the first pass, the filter is held back in the second until 1 March.
    assert ids(only(opened("2027-01-11", done, book_plan)).listed) == ["bin"]
    done |= {"2027-01-12": ["bin"], "2027-01-19": ["bin"]}
    assert ids(only(opened("2027-01-25", done, book_plan)).listed) == ["bin"]
    assert ids(only(opened("2027-03-01", done, book_plan)).listed) == ["filter", "bin"]


def test_a_week_with_everything_held_back_is_empty_and_starts_no_pass_over_again() -> None:
    home = area("kitchen", task("filter", 5, 90))
    opening = opened("2027-01-18", {"2027-01-05": ["filter"]}, plan(home, rotation=hourly(1, MONDAY)))
    assert (ids(only(opening).left), ids(only(opening).held_back)) == ([], ["filter"])
    assert not only(opening).new_pass


def test_an_area_without_tasks_has_an_empty_week() -> None:
    week = only(opened("2027-01-04", {}, plan(Area("attic", "Attic"))))
    assert (week.left, week.new_pass) == ((), False)


def test_an_area_that_waits_goes_on_with_its_list() -> None:
    away = {day("2027-01-04") + timedelta(days=ahead) for ahead in range(7)}
    opening = opened("2027-01-11", {}, away=away)
    assert only(opening).area.id == "kitchen"
    assert opened("2027-01-04", {}, away=away).turn.waits


def test_each_area_of_a_shared_week_has_its_share() -> None:
    five = (*tern_street(), area("hall", task("mat", 20), task("lamp", 20)), area("attic", task("box", 45)))
    opening = opened("2027-01-25", {}, plan(*five, rotation=hourly(5, MONDAY, Mode.MONTH)))
    assert [(one.area.id, one.minutes, ids(one.listed)) for one in opening.areas] == [
        ("hall", 30, ["mat"]),
        ("attic", 30, ["box"]),
    ]


def test_a_catch_up_week_is_for_the_area_with_the_most_minutes_left() -> None:
    by_month = plan(rotation=hourly(3, MONDAY, Mode.MONTH))
    done = {"2027-01-05": ["oven", "tiles", "bin"]}
    assert only(opened("2027-01-25", {}, by_month)).area.id == "kitchen"
    week = only(opened("2027-01-25", done, by_month))
    assert (week.area.id, week.minutes) == ("bath", 60)


def test_of_areas_with_as_much_left_the_first_catches_up() -> None:
    two = plan(area("a", task("x", 20)), area("b", task("y", 20)), rotation=hourly(2, MONDAY, Mode.MONTH))
    assert only(opened("2027-01-18", {}, two)).area.id == "a"
    assert only(opened("2027-01-18", {"2027-01-05": ["x"]}, two)).area.id == "b"
    caught_up = only(opened("2027-01-18", {"2027-01-05": ["x"], "2027-01-12": ["y"]}, two))
    assert (caught_up.area.id, caught_up.new_pass) == ("a", True)


def test_minutes_that_may_not_be_done_yet_do_not_count_for_catching_up() -> None:
    two = plan(
        area("a", task("x", 50, 90), task("w", 5)),
        area("b", task("y", 20)),
        rotation=hourly(2, MONDAY, Mode.MONTH),
    )
    # In February's new pass 50 of the first area's 55 minutes are held back.
    assert only(opened("2027-02-15", {"2027-01-05": ["w", "x"]}, two)).area.id == "b"


def test_a_skipped_week_is_free() -> None:
    free = skipped(plan(), opened("2027-01-04").turn)
    assert opened("2027-01-04", {}, free).areas == ()
    assert only(opened("2027-01-11", {}, free)).area.id == "bath"


def test_the_days_before_the_start_have_no_week() -> None:
    with pytest.raises(OutOfRange, match="begin on 4 January 2027"):
        opened("2027-01-03")


def test_declutter_lists_have_passes_of_their_own() -> None:
    first = opened("2027-01-04").turn
    done = {"2027-01-12": ["bottles", "grout"]}
    cluttered = decluttered(plan(), first)
    assert ids(only(opened("2027-01-11", {}, cluttered)).listed) == ["bottles"]
    assert ids(only(opened("2027-02-01", done, cluttered)).left) == ["drain"]
    again = replace(cluttered, declutter=decluttered(plan(), first, 6).declutter)
    assert ids(only(opened("2027-02-01", done, again)).left) == ["towels"]


def spots(plan_of_all: Plan, done: dict[str, list[str]], *days: str) -> list[str]:
    marks = {day(text): tasks for text, tasks in done.items()}
    found = (spot_task(opened(on, done, plan_of_all), marks, day(on)) for on in days)
    return ["" if one is None else one.task.id for one in found]


def test_the_spot_task_is_the_first_short_one_of_the_area() -> None:
    home = replace(alone(("oven", 40), ("bin", 10), ("shelf", 11), ("tap", 3)), way=Way.SPOT)
    done = {"2027-01-05": ["bin"], "2027-01-06": ["tap"]}
    days = ("2027-01-04", "2027-01-05", "2027-01-06", "2027-01-07")
    assert spots(home, done, *days) == ["bin", "bin", "tap", ""]
    assert spots(replace(home, spot_minutes=40), done, *days) == ["oven"] * 4


def test_with_spot_tasks_alone_a_pass_ends_with_the_short_ones() -> None:
    home = replace(alone(("oven", 40), ("bin", 10)), way=Way.SPOT)
    assert spots(home, {"2027-01-05": ["bin"]}, "2027-01-06", "2027-01-11") == ["", "bin"]
    both = replace(home, way=Way.BOTH)
    assert spots(both, {"2027-01-05": ["bin"]}, "2027-01-06", "2027-01-11") == ["", ""]
    assert spots(replace(home, way=Way.LIST), {}, "2027-01-04") == [""]


def test_a_spot_task_waits_for_its_own_days() -> None:
    one = area("kitchen", task("filter", 5, 10), task("bin", 5))
    home = replace(plan(one, rotation=hourly(1, MONDAY)), way=Way.SPOT)
    done = {"2027-01-05": ["filter", "bin"]}
    # Ten days after the 5th is Friday the 15th; the pass is new in the week of the 11th.
    assert spots(home, done, "2027-01-11", "2027-01-14", "2027-01-15") == ["bin", "bin", "filter"]


def test_the_same_from_a_kept_state_as_from_nothing() -> None:
    marks = {day("2027-01-05"): ["oven"], day("2027-01-19"): ["rail", "treads"], day("2027-01-27"): ["tiles"]}
    book = Book((plan(),), marks)
    passes = begin(book)
    open_on(passes, book, day("2027-01-20"))
    kept = passes_from_json(passes_json(passes))
    assert kept == passes
    thrown = passes.copy()
    assert open_on(kept, book, day("2027-02-20")) == open_on(begin(book), book, day("2027-02-20"))
    assert thrown == passes
    assert kept != passes


def test_weeks_ahead_go_on_from_the_opened_one() -> None:
    opening = opened("2027-01-14")
    assert [turn.areas for turn in turns_ahead(opening, 12)] == [(2,), (3,), (1,)] * 4


def test_a_new_task_does_not_undo_the_pass() -> None:
    first = opened("2027-01-04")
    kitchen_now = replace(kitchen(), detail=(task("window", 15), *kitchen().detail))
    later = redivided(plan(), (kitchen_now, *tern_street()[1:]), day("2027-02-02"), first.turn)
    all_done = {"2027-01-05": ["oven", "tiles", "bin", "shelf"], "2027-01-26": ["oven"]}
    # The second pass began on 25 January and goes on in February with the new task in it.
    week = only(opened("2027-02-15", all_done, plan(), later))
    assert ids(week.left) == ["window", "tiles", "bin", "shelf"]


def test_a_plan_holds_for_the_whole_week_it_is_made_in() -> None:
    changed = replace(plan(), since=day("2027-01-10"), spot_minutes=5)
    assert plan_for((plan(), changed), MONDAY) == changed
    assert plan_for((plan(), replace(changed, since=day("2027-01-11"))), MONDAY) == plan()
    assert plan_for((changed,), day("2020-01-06")) == changed


def test_a_task_keeps_its_pass_when_it_moves_to_another_area() -> None:
    home = tern_street()
    moved = (
        replace(home[0], detail=home[0].detail[1:]),
        replace(home[1], detail=(*home[1].detail, home[0].detail[0])),
        home[2],
    )
    later = redivided(plan(), moved, day("2027-01-11"), opened("2027-01-11").turn)
    assert ids(only(opened("2027-01-11", {"2027-01-05": ["oven"]}, plan(), later)).left) == ["grout", "drain"]


def test_weeks_that_begin_on_sunday_from_now_on_lose_no_turn() -> None:
    turn = opened("2027-01-13").turn
    later = rearranged(plan(), replace(plan().rotation, starts=WeekStart.SUNDAY), day("2027-01-13"), turn)
    weeks = [opened(on, {}, plan(), later) for on in ("2027-01-09", "2027-01-13", "2027-01-17", "2027-01-24")]
    assert [only(week).area.id for week in weeks] == ["kitchen", "bath", "stairs", "kitchen"]
    assert [week.week for week in weeks[1:]] == [day("2027-01-10"), day("2027-01-17"), day("2027-01-24")]


def test_weeks_that_begin_on_monday_from_now_on_lose_no_turn() -> None:
    sundays = plan(rotation=hourly(3, day("2027-01-03"), starts=WeekStart.SUNDAY))
    turn = opened("2027-01-13", {}, sundays).turn
    later = rearranged(sundays, replace(sundays.rotation, starts=WeekStart.MONDAY), day("2027-01-13"), turn)
    weeks = [opened(on, {}, sundays, later) for on in ("2027-01-09", "2027-01-13", "2027-01-18")]
    assert [only(week).area.id for week in weeks] == ["kitchen", "bath", "stairs"]
    assert weeks[1].week == day("2027-01-11")
    assert opened("2027-01-10", {}, sundays, later).areas == ()


def test_a_task_done_on_a_weeks_last_day_is_not_done_again_in_the_pass_that_follows() -> None:
    done = {"2027-01-05": ["oven"], "2027-01-10": ["tap"]}
    week = only(opened("2027-01-18", done, alone(("oven", 10), ("tap", 10))))
    assert ids(week.left) == ["oven", "tap"]


def test_marks_of_many_days_are_read_like_those_of_few() -> None:
    home = alone(*((f"t{number}", 10) for number in range(40)), minutes=600)
    first = MONDAY - timedelta(days=10)
    done = {(first + timedelta(days=ahead)).isoformat(): [f"t{ahead}"] for ahead in range(40)}
    assert ids(only(opened("2027-01-18", done, home)).left) == [f"t{number}" for number in range(24, 40)]


def test_done_in_week_says_when() -> None:
    marks = {day("2027-01-05"): ["oven"], day("2027-01-10"): ["oven", "bin"], day("2027-01-11"): ["tiles"]}
    assert done_in_week(opened("2027-01-04"), marks) == {"oven": day("2027-01-10"), "bin": day("2027-01-10")}


def test_a_plan_whose_parts_do_not_fit_is_refused() -> None:
    with pytest.raises(Malformed, match="for 2 areas, and there are 3"):
        Plan(MONDAY, tern_street(), hourly(2, MONDAY))
    with pytest.raises(Malformed, match="spot task takes 1 to 1440"):
        Plan(MONDAY, tern_street(), hourly(3, MONDAY), spot_minutes=0)
