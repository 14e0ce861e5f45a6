"""Kept passes are a cache: thrown away, they change nothing that anyone sees, whatever a household does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from areas.house import AreaHouse
from coach.areas import dividing as area_division
from coach.areas import setup as area_setup
from coach.areas import turns as area_turns
from coach.areas import week as area_week
from coach.areas.passes import area_now
from coach.areas.sorting import sort_first
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.situation import situation
from coach.habits import pauses
from habits.house import HOME
from progress.living import on

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.areas.answers import AreaWeekView, RotationView
    from coach.areas.passes import AreaNow
    from coach.ground.ports import Context

NAMES = ["Kitchen", "Bath", "Bedroom", "Kitchen 2", "Toilet"]


def seen(context: Context) -> tuple[AreaWeekView, RotationView] | None:
    try:
        return area_week.this_week(context, HOME), area_turns.rotation(context, HOME)
    except Unknown:
        return None


def opened(context: Context) -> AreaNow | None:
    with context.store.reading(HOME) as reading:
        return area_now(situation(context, reading))


class AHomeAndItsPasses(RuleBasedStateMachine):
    """Weeks of a household with areas: what it sees is what a fold from nothing gives."""

    def __init__(self) -> None:
        super().__init__()
        self.house = AreaHouse()
        self.day = 1

    @rule(days=st.sampled_from([1, 3, 7, 8, 21]))
    def live(self, days: int) -> None:
        self.house.live(days)
        self.day += days

    @rule(days=st.sampled_from([5, 12, 30]))
    def fall_away(self, days: int) -> None:
        self.day += days
        self.house.at(self.day)

    @rule(days=st.integers(0, 20))
    def pause(self, days: int) -> None:
        self.do(lambda: pauses.pause(self.house.context, HOME, on(self.day + 1), on(self.day + 1 + days)))

    @rule(ago=st.integers(0, 7), place=st.integers(0, 6))
    def mark(self, ago: int, place: int) -> None:
        week = seen(self.house.context)
        tasks = [task for area in week[0].areas for task in area.listed + area.if_time] if week else []
        if tasks:
            task = tasks[place % len(tasks)].task
            self.do(lambda: area_week.mark_task(self.house.context, HOME, on(self.day - ago), task))

    @rule(ago=st.integers(0, 7), place=st.integers(0, 6))
    def unmark(self, ago: int, place: int) -> None:
        tasks = [task for area in self.house.areas.areas for task in area.detail]
        if tasks:
            task = tasks[place % len(tasks)].task
            self.do(lambda: area_week.unmark_task(self.house.context, HOME, on(self.day - ago), task))

    @rule(mode=st.sampled_from(["continuous", "month", "need"]), minutes=st.sampled_from([30, 60, 90]))
    def arrange(self, mode: str, minutes: int) -> None:
        wanted = area_turns.Arrangement(mode=mode, minutes_a_week=minutes)  # type: ignore[typeddict-item]  # one of three
        self.do(lambda: area_turns.arrange(self.house.context, HOME, wanted))

    @rule(place=st.integers(0, 4), first=st.booleans())
    def sort(self, *, place: int, first: bool) -> None:
        found = self.house.areas.areas
        if found:
            area = found[place % len(found)].area
            self.do(lambda: sort_first(self.house.context, HOME, area, first=first))

    @rule(place=st.integers(0, 4))
    def give(self, place: int) -> None:
        found = self.house.areas.areas
        if found:
            area = found[place % len(found)].area
            self.do(lambda: area_turns.give(self.house.context, HOME, area))

    @rule(name=st.sampled_from(NAMES))
    def add(self, name: str) -> None:
        self.do(lambda: area_division.add_area(self.house.context, HOME, name))

    @rule(place=st.integers(0, 4))
    def remove(self, place: int) -> None:
        found = self.house.areas.areas
        if found:
            area = found[place % len(found)].area
            self.do(lambda: area_division.remove_area(self.house.context, HOME, area))

    @rule(ahead=st.integers(0, 30))
    def skip(self, ahead: int) -> None:
        self.do(lambda: area_turns.skip(self.house.context, HOME, on(self.day + ahead)))

    @rule(one=st.integers(0, 30), other=st.integers(0, 30))
    def swap(self, one: int, other: int) -> None:
        days = on(self.day + one), on(self.day + other)
        self.do(lambda: area_turns.swap(self.house.context, HOME, *days))

    @rule(weeks=st.sampled_from([None, 0, 2]))
    def declutter(self, weeks: int | None) -> None:
        self.do(lambda: area_turns.declutter(self.house.context, HOME, weeks))

    @rule()
    def undo(self) -> None:
        self.do(lambda: area_setup.undo(self.house.context, HOME))

    @rule()
    def set_up(self) -> None:
        self.do(lambda: area_setup.set_up(self.house.context, HOME, NAMES[:4]))

    def do(self, change: Callable[[], object]) -> None:
        """Do something that may not be possible now."""
        try:
            change()
        except (Malformed, NotEditable, Unknown):
            return

    @invariant()
    def what_is_seen_is_what_a_fold_from_nothing_gives(self) -> None:
        plain = self.house.folded_from_nothing()
        assert seen(self.house.context) == seen(plain)
        assert opened(self.house.context) == opened(plain)


TestAHomeAndItsPasses = AHomeAndItsPasses.TestCase
TestAHomeAndItsPasses.settings = settings(max_examples=25, stateful_step_count=30)


def test_passes_are_kept_as_weeks_close_and_not_sooner() -> None:
    house = AreaHouse()

    def kept() -> list[str]:
        with house.store.reading(HOME) as reading:
            return sorted(str(through) for _, through in reading.home.plan_states)

    house.live(16)
    house.done("Oven", 17)
    assert kept() == [str(on(7))]
    house.live(4)
    house.done("Oven", 21)
    assert kept() == [str(on(7))]
    house.live(1)
    house.done("Tiles 1", 22)
    assert kept() == [str(on(7)), str(on(14))]


def test_a_mark_a_week_back_is_seen_though_passes_are_kept() -> None:
    house = AreaHouse(["Kitchen"])
    house.live(20)
    house.done("Oven", 21)
    house.done("Shelf 1", 14)
    house.live(1)
    assert house.listed == ["Shelf 2", "Shelf 3"]
