"""A saved standing is a cache: thrown away, it changes nothing that anyone sees."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, Literal

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from coach.errors import FaultyFile, Malformed, NotEditable, Unknown
from coach.habits import path, pauses, steps
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.household import data
from coach.household import settings as choices
from habits import marking
from habits.house import HOME, House
from progress.living import a_course, a_step

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from coach.course.model import Course
    from coach.ground.ports import Context
    from coach.habits.answers import Day, MarkName

NAMES = ("bed", "cups", "job", "lamp", "mat", "bunk", "plants")
BED = a_step("bed", 2)
CUPS = a_step("cups", after=["bed"])
JOB = a_step("job", after=["bed"], repeats="FREQ=WEEKLY", waits=False)
LAMP = a_step("lamp", after=["cups"], settles={"kept": 3, "of": 4})
MAT = a_step("mat", after_any=["bed", "job"])
EDITIONS: tuple[Course, ...] = (
    a_course(BED, CUPS, JOB, LAMP),
    a_course(BED, MAT, CUPS, JOB, LAMP),
    a_course(BED, JOB),
    a_course(a_step("mat"), a_step("lamp"), BED, lapse_after=3),
    a_course(a_step("bed", settles={"kept": 4, "of": 5}), CUPS, JOB, LAMP, at_once=2),
    a_course(a_step("bunk", 4, formerly=["bed"]), a_step("mat", 1, formerly=["lamp"]), a_step("cups", 3)),
)
STEPS = st.sampled_from(NAMES)
CHOICES: st.SearchStrategy[Literal["all", "one"] | None] = st.sampled_from([None, "all", "one"])
MARKS: st.SearchStrategy[MarkName] = st.sampled_from(["kept", "kept", "kept", "small", "missed", "excused"])


def seen(context: Context) -> list[Day]:
    """Today and some of the days before it, the eldest of them closed to edits, as pages show them.

    The household's version counts what was written, and a store that was filled at once counts less.
    """
    now = today(context, HOME)
    before = (now.date - timedelta(days=ago) for ago in (1, 5, 8, 15) if now.day > ago)
    days = [now, *(day_on(context, HOME, on) for on in before)]
    return [replace(one, version=0) for one in days]


class AHouseholdAndItsCache(RuleBasedStateMachine):
    """Weeks of a household: whatever it does, what it sees is what a fold from nothing gives."""

    def __init__(self) -> None:
        super().__init__()
        self.house = House(EDITIONS[0])
        self.passed = 1

    @initialize(pace=st.sampled_from(["standard", "gentle"]))
    def begin(self, pace: str) -> None:
        self.house.begun(pace=pace)

    @rule(days=st.sampled_from([1, 1, 1, 3, 8, 15]))
    def wait(self, days: int) -> None:
        self.passed += days
        self.house.at(self.passed)

    @rule(days=st.integers(1, 9), mark=MARKS)
    def live(self, days: int, mark: MarkName) -> None:
        """Some days on which everything on the list is marked alike."""
        for _ in range(days):
            now = today(self.house.context, HOME)
            for line in now.checklist:
                marking.mark(self.house.context, HOME, now.date, line.step, mark)
            self.wait(1)

    @rule(ago=st.integers(0, 7), step=STEPS, mark=MARKS | st.none())
    def correct(self, ago: int, step: str, mark: MarkName | None) -> None:
        """Mark one of the days that can be edited, or take its mark back."""
        on = self.today() - timedelta(days=ago)
        if mark is None:
            self.unless_ruled_out(lambda: marking.unmark(self.house.context, HOME, on, step))
        else:
            self.unless_ruled_out(lambda: marking.mark(self.house.context, HOME, on, step, mark))

    @rule(ahead=st.integers(0, 3), days=st.none() | st.integers(1, 12))
    def go_away(self, ahead: int, days: int | None) -> None:
        since = self.today() + timedelta(days=ahead)
        until = None if days is None else since + timedelta(days=days)
        pauses.pause(self.house.context, HOME, since, until)

    @rule(choice=CHOICES)
    def come_back(self, choice: Literal["all", "one"] | None) -> None:
        self.unless_ruled_out(lambda: pauses.resume(self.house.context, HOME, choice))

    @rule(step=STEPS, do=st.sampled_from([steps.set_aside, steps.restore, steps.take_next]))
    def decide(self, step: str, do: Callable[[Context, str, str], object]) -> None:
        self.unless_ruled_out(lambda: do(self.house.context, HOME, step))

    @rule(
        step=STEPS,
        minutes=st.integers(1, 20),
        repeats=st.sampled_from(["FREQ=DAILY", "FREQ=WEEKLY;BYDAY=SU"]),
    )
    def adjust(self, step: str, minutes: int, repeats: str) -> None:
        changes = {"minutes": minutes, "repeats": repeats}
        self.unless_ruled_out(lambda: steps.adjust(self.house.context, HOME, step, changes))

    @rule(after=STEPS, waits=st.booleans())
    def add(self, after: str, waits: bool) -> None:  # noqa: FBT001  drawn
        definition = {"title": "Plants", "after": [after], "waits": waits}
        self.unless_ruled_out(lambda: steps.add(self.house.context, HOME, "plants", definition))

    @rule(minutes=st.sampled_from(["", "5", "12", "30"]), zone=st.sampled_from(["UTC", "Pacific/Auckland"]))
    def settle_down(self, minutes: str, zone: str) -> None:
        choices.change(self.house.context, HOME, zone=zone, minutes=minutes)

    @rule(edition=st.sampled_from(EDITIONS))
    def publish(self, edition: Course) -> None:
        """The course's files change; the days closed so far keep what they were."""
        before = seen(self.house.context)[1:]
        self.house.shelf.put(edition)
        assert seen(self.house.context)[1:] == before

    @rule()
    def carry_over(self) -> None:
        """Export and import: the same log, or, where the course has lost a step of it, nothing changed."""
        text = data.export(self.house.context, HOME)
        before = seen(self.house.context)
        try:
            data.load(self.house.context, HOME, text)
        except FaultyFile:
            assert seen(self.house.context) == before
        assert data.export(self.house.context, HOME) == text

    def today(self) -> date:
        """The household's date, which its zone decides."""
        return today(self.house.context, HOME).date

    def unless_ruled_out(self, do: Callable[[], object]) -> None:
        """Do something, unless the household's standing rules it out."""
        with suppress(NotEditable, Unknown, Malformed):
            do()

    @invariant()
    def what_is_seen_is_what_a_fold_from_nothing_gives(self) -> None:
        if self.house.store.version(HOME) is None:
            return
        cached, plain = self.house.context, self.house.without_cache()
        assert seen(cached) == seen(plain)
        assert path.path(cached, HOME) == path.path(plain, HOME)


TestAHouseholdAndItsCache = AHouseholdAndItsCache.TestCase
TestAHouseholdAndItsCache.settings = settings(
    max_examples=settings().max_examples // 3, stateful_step_count=20
)
