"""Tern Street's first ninety days, with a fortnight away: what it sees is what its files say (home rules)."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from dateutil.rrule import rrulestr

from coach.areas.passes import DONE, passes_before
from coach.areas.rules.passes import begin, close_week, open_week
from coach.desk.rules.dues import DAYS_NEEDED
from coach.ground.plan_rows import Asked
from coach.ground.situation import situation
from golden.diary import NINETY_DAYS
from golden.doing import due_of
from golden.seeing import seen
from golden.telling import TOLD, kitchen_of
from habits.house import HOME

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.areas.answers import AreaTurn, ModeName
    from coach.areas.rules.passes import AreaWeek
    from coach.desk.answers import DueDateView
    from golden.diary import Doing
    from golden.seeing import Seen, SeenDay

MODES: tuple[ModeName, ...] = ("continuous", "month", "need")


@cache
def as_lived(mode: ModeName) -> Seen:
    """The ninety days; after the first time the evenings' marks are those of the first."""
    return seen(mode) if mode == "continuous" else seen(mode, as_lived("continuous").living.rows())


@pytest.mark.parametrize("name", TOLD)
def test_what_was_seen_is_what_the_file_says(name: str) -> None:
    mode, tell = TOLD[name]
    assert tell(as_lived(mode)) == (NINETY_DAYS / name).read_text(encoding="utf-8")


def test_the_rotation_waits_for_the_fortnight_and_goes_on_with_the_area_whose_turn_it_was() -> None:
    weeks = [week.area for week in as_lived("continuous").weeks]
    away = [place for place, week in enumerate(weeks) if week.kind == "away"]
    assert [weeks[place].name for place in away] == ["2027-W01", "2027-W02"]
    assert weeks[away[0]].areas == weeks[away[1]].areas
    after = weeks[away[1] + 1]
    assert [area.area for area in after.areas] == [area.area for area in weeks[away[0]].areas]
    assert [task.task for area in after.areas for task in area.listed] == [
        task.task for area in weeks[away[0]].areas for task in area.listed
    ]


def test_one_area_follows_the_other_but_for_the_turn_that_was_skipped() -> None:
    weeks = [week.area for week in as_lived("continuous").weeks if week.area.kind != "away"]
    three, five = (
        ["Kitchen", "Downstairs", "Upstairs"],
        ["Kitchen", "Hall", "Living room", "Bathroom", "Bedrooms"],
    )
    turns = [*three, *three, *five]
    seen_turns = [week.areas[0].name if week.areas else "skipped" for week in weeks]
    assert seen_turns == [*turns[:7], "skipped", *turns[8:]]


@pytest.mark.parametrize("mode", MODES)
def test_every_turn_goes_on_where_the_one_before_stopped_and_nothing_is_left_out(mode: ModeName) -> None:
    lived = as_lived(mode)
    done, crossed_out = _done(lived), set[str]()
    for week in lived.weeks:
        for turn in week.area.areas:
            offered = [task.task for task in (*turn.listed, *turn.if_time)]
            held_back = [task.task for task in turn.held_back]
            tasks = week.tasks(turn.area)
            if turn.new_pass:
                assert crossed_out.issuperset(set(tasks) & set(offered))
                crossed_out -= set(tasks)
            left = [task for task in tasks if task not in crossed_out]
            assert sorted([*offered, *held_back], key=tasks.index) == left
            assert offered == [task for task in left if task in offered]
            assert offered or turn.new_pass
        days = [week.area.week + timedelta(days=ahead) for ahead in range(7)]
        crossed_out |= {task for day in days for task in done.get(day, ())}


@pytest.mark.parametrize("mode", MODES)
def test_a_list_ends_before_the_first_task_that_does_not_fit(mode: ModeName) -> None:
    for turn in (turn for week in as_lived(mode).weeks for turn in week.area.areas):
        listed = sum(task.minutes for task in turn.listed)
        assert listed <= turn.minutes or len(turn.listed) == 1
        assert not turn.if_time or listed + turn.if_time[0].minutes > turn.minutes


def _done(lived: Seen) -> dict[date, set[str]]:
    found: dict[date, set[str]] = {}
    with lived.living.context.store.reading(HOME) as reading:
        for key, _ in reading.plans([Asked(DONE)])[0]:
            day, _, task = key.partition("/")
            found.setdefault(date.fromisoformat(day), set()).add(task)
    return found


@pytest.mark.parametrize("mode", MODES)
def test_the_weeks_folded_from_nothing_in_the_end_are_the_weeks_as_they_were_seen(mode: ModeName) -> None:
    lived = as_lived(mode)
    context, last = lived.living.context, lived.days[-1].date
    with context.store.reading(HOME) as reading:
        found = passes_before(situation(context, reading), date.min, last)
        assert found is not None
        passes, book = begin(found[1]), found[1]
        for week in lived.weeks:
            opening = open_week(passes, book)
            assert [_ids(area) for area in opening.areas] == [_seen_ids(area) for area in week.area.areas]
            close_week(passes, opening, book)


def _ids(area: AreaWeek) -> list[list[str]]:
    return [[one.task.id for one in part] for part in (area.listed, area.if_time, area.held_back)]


def _seen_ids(area: AreaTurn) -> list[list[str]]:
    return [[task.task for task in part] for part in (area.listed, area.if_time, area.held_back)]


def test_by_month_no_week_waits_and_there_are_shared_weeks_and_weeks_for_catching_up() -> None:
    weeks = [week.area for week in as_lived("month").weeks]
    kinds = [week.kind for week in weeks]
    assert (kinds.count("shared"), kinds.count("catch-up"), kinds.count("away")) == (2, 2, 0)
    minutes = [[area.minutes for area in week.areas] for week in weeks if week.kind == "shared"]
    assert minutes == [[20, 20], [20, 20]]


def test_by_need_no_week_waits_for_an_area_and_none_has_two_weeks_one_after_the_other() -> None:
    weeks = [week.area for week in as_lived("need").weeks if week.area.kind == "turn"]
    turns = [week.areas[0].area for week in weeks]
    assert all(one != following for one, following in pairwise(turns))
    assert len(set(turns)) == 5
    away = [week.area for week in as_lived("need").weeks if week.area.kind == "away"]
    assert all("needs it most then" in week.text for week in away)
    assert len(away) == 2


@pytest.mark.parametrize("mode", MODES[1:])
def test_how_the_areas_go_changes_neither_the_log_nor_the_minutes_of_a_day(mode: ModeName) -> None:
    one, other = as_lived("continuous"), as_lived(mode)
    assert one.living.rows() == other.living.rows()
    assert [day.around.load for day in one.days] == [day.around.load for day in other.days]
    assert [kitchen_of(day) for day in one.days] == [kitchen_of(day) for day in other.days]


def test_every_due_is_listed_on_a_desk_work_day_in_time_or_on_the_day_it_is_written_down() -> None:
    days = as_lived("continuous").days
    for doing, on, comfortable in _due_dates():
        morning = next(day for day in days if _lists(day, due_of(doing.about).name, on))
        desk = kitchen_of(morning).desk
        in_time = desk is not None and desk.desk_day and morning.date <= comfortable
        assert in_time or morning.date == doing.on > comfortable, doing


def test_every_due_stands_on_its_own_date_unless_it_is_seen_to_by_then() -> None:
    lived = as_lived("continuous")
    seen_to = {doing.about: doing.on for doing in lived.living.diary.doings if doing.what == "settles"}
    standing = [(day.date, due.name) for day in lived.days for due in _due_on(day) if due.on == day.date]
    names = [(on, due_of(doing.about).name) for doing, on, _ in _due_dates() if on <= lived.days[-1].date]
    open_then = [(on, name) for on, name in names if seen_to.get(f"{name} {on}", on) >= on]
    assert standing == sorted(open_then)
    assert len(names) > len(open_then) > 1


def _due_dates() -> Iterator[tuple[Doing, date, date]]:
    """Every date on which something is due, with its latest comfortable one, which is one of the ninety."""
    lived = as_lived("continuous").living.diary
    for doing in lived.dues():
        due = due_of(doing.about)
        begin_at = datetime.combine(date.fromisoformat(due.on), time())
        rule = rrulestr(due.repeats or "FREQ=DAILY;COUNT=1", dtstart=begin_at)
        needs = timedelta(days=int(due.needs or (0 if due.time else DAYS_NEEDED)))
        last = datetime.combine(lived.days[-1], time()) + needs
        yield from ((doing, at.date(), at.date() - needs) for at in rule.between(begin_at, last, inc=True))


def _due_on(day: SeenDay) -> tuple[DueDateView, ...]:
    desk = kitchen_of(day).desk
    return desk.due if desk else ()


def _lists(day: SeenDay, name: str, on: date) -> bool:
    desk = kitchen_of(day).desk
    return desk is not None and (name, on) in {(due.name, due.on) for due in (*desk.due, *desk.dues)}
