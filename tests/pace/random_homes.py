"""Random courses, and the logs of households that are simulated on them, to be replayed."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np

from coach.course.model import Course, Hold, Lesson, Return, Settles, Slot, Step, Strength
from coach.pace.block import fresh
from coach.pace.following import Follower
from coach.pace.opening import LAPSED, NOT_ONE, PHASES
from coach.pace.rulebook import rulebook_at
from coach.progress.log import Row, What

if TYPE_CHECKING:
    from random import Random

    from numpy.typing import NDArray

    from coach.pace.block import Block
    from coach.pace.closing import Marks
    from coach.pace.conduct import Chances
    from coach.pace.following import Day
    from coach.pace.opening import Opened

REPEATS = (
    "FREQ=DAILY", "FREQ=DAILY", "FREQ=DAILY", "FREQ=DAILY", "FREQ=DAILY;INTERVAL=2", "FREQ=DAILY;INTERVAL=3",
    "FREQ=WEEKLY", "FREQ=WEEKLY;BYDAY=MO", "FREQ=WEEKLY;BYDAY=TU,SA", "FREQ=WEEKLY;INTERVAL=2",
    "FREQ=WEEKLY;INTERVAL=2;BYDAY=WE,SU", "FREQ=MONTHLY", "FREQ=MONTHLY;BYMONTHDAY=15,30",
    "FREQ=MONTHLY;BYDAY=1FR", "FREQ=MONTHLY;INTERVAL=2;BYDAY=-1SU", "FREQ=DAILY;BYDAY=MO,TU,WE,TH,FR",
    "FREQ=MONTHLY;BYDAY=TU,WE,TH;BYSETPOS=3",
)  # fmt: skip
PACES = {"standard": 0, "gentle": 1, "slow": 15}
SLOTS = tuple(Slot)


def random_course(random: Random) -> Course:
    """A course of one to nine steps with rules of every kind; steps come after some of those before them."""
    steps: list[Step] = []
    for number in range(random.randint(1, 9)):
        of = random.choice((1, 2, 3, 3, 4, 5, 7, 14, 20, 40, 70))
        before = [step.id for step in steps]
        steps.append(
            Step(
                id=f"step-{number}",
                title=f"Step {number}",
                slot=random.choice(SLOTS),
                minutes=random.randint(1, 20),
                repeats=random.choice(REPEATS),
                after=tuple(random.sample(before, min(len(before), random.choice((0, 0, 1, 1, 2))))),
                after_any=tuple(random.sample(before, min(len(before), random.choice((0, 0, 0, 1, 2))))),
                settles=Settles(random.randint(1, min(of, random.choice((2, 3, 5, 30)))), of),
                waits=random.random() < 0.7,
                lessons=(Lesson("One", "Text."),),
            )
        )
    return Course(
        title="Random",
        steps=tuple(steps),
        at_once=random.choice((1, 1, 2, 3)),
        lapse_after=random.choice((1, 2, 3, 5, 7)),
        hold=Hold(random.choice((0.0, 0.4, 0.6, 0.8, 2 / 3, 1.0)), random.choice((1, 3, 7, 10, 500))),
        returning=Return(random.choice((1, 5, 14, 30)), random.choice((0.0, 0.5, 0.6666666667, 1.0))),
        strength=Strength(random.choice((5, 66)), random.choice((3, 46))),
        paces=PACES,
    )


@dataclass
class Wishes:
    """What households have decided by the day they begin.

    Attributes:
        first: The root begun with.
        pace: The pace.
        wanted: (H,) the step each wants next, or -1.
        ceiling: (H,) the most minutes of each.
        aside: (S, H) steps each sets aside.
        paused: (D, H) days on which each is paused.
    """

    first: int
    pace: str
    wanted: NDArray[np.int64]
    ceiling: NDArray[np.int64]
    aside: NDArray[np.bool_]
    paused: NDArray[np.bool_]


@dataclass
class Lived:
    """What a block of households went through: their logs, and what the block says of every day.

    Attributes:
        rows: The log of each.
        told: For each household and day what the standing on that day has to say.
    """

    rows: list[list[Row]]
    told: list[list[dict[str, object]]] = field(default_factory=list)


class Chronicle:
    """Writes down what becomes of a block day by day, as logs and as standings in words.

    Args:
        course: The course.
        days: The household days.
        wishes: What they decided on the first.
    """

    def __init__(self, course: Course, days: list[date], wishes: Wishes) -> None:
        self.course, self.days, self.wishes = course, days, wishes
        self.rules = rulebook_at(course, wishes.pace)
        self.follower = Follower(self.rules, days, wishes.first)
        households = wishes.wanted.size
        self.block = fresh(self.rules, households, self.follower.reach)
        self.block.wanted[:] = wishes.wanted
        self.block.ceiling[:] = wishes.ceiling
        self.block.set_aside(self.rules, wishes.aside)
        self.kept = np.zeros((self.rules.size, households), int)
        self.due = np.zeros((self.rules.size, households), int)
        self.came = np.full((self.rules.size, households), -1)
        self.held = np.full((self.rules.size, households), -1)
        self.lived = Lived([self._first_rows(number) for number in range(households)])
        self.lived.told = [[] for _ in range(households)]

    def _first_rows(self, number: int) -> list[Row]:
        start, wishes, ids = self.days[0], self.wishes, self.rules.ids
        rows = [Row(start, What.START, ids[wishes.first], wishes.pace)]
        if wishes.wanted[number] >= 0:
            rows.append(Row(start, What.NEXT, ids[wishes.wanted[number]]))
        if wishes.ceiling[number] < 1440:
            rows.append(Row(start, What.MINUTES, value=str(wishes.ceiling[number])))
        rows += [Row(start, What.SET_ASIDE, ids[step]) for step in np.flatnonzero(wishes.aside[:, number])]
        return rows

    def opened(self, opened: Opened, day: int) -> None:
        """Take down how a day opened, with the pause rows that made it a paused one."""
        for number, told in enumerate(self.lived.told):
            if self.wishes.paused[day, number]:
                self.lived.rows[number].append(
                    Row(self.days[day], What.PAUSE, value=self.days[day].isoformat())
                )
            came = int(opened.introduced[number])
            if came != NOT_ONE:
                self.came[came, number] = day
            phase = int(opened.phase[number])
            told.append(
                {
                    "on": self.days[day].isoformat(),
                    "phase": PHASES[phase],
                    "introduced": None if came == NOT_ONE else self.rules.ids[came],
                    "checklist": None if phase == LAPSED else self._checklist(number),
                    "steps": self._steps(number),
                }
            )
            if opened.returned[number] and self._was_lapsed[number]:
                self.lived.rows[number].append(Row(self.days[day], What.RESUME))

    def before(self) -> None:
        """Remember who was lapsed before the day opens."""
        self._was_lapsed = self.block.lapsed.copy()

    def _checklist(self, number: int) -> set[str]:
        return {self.rules.ids[step] for step in np.flatnonzero(self.block.open[:, number])}

    def _steps(self, number: int) -> dict[str, dict[str, object]]:
        return {
            self.rules.ids[step]: {
                "state": self._state(step, number),
                "introduced_on": self.days[self.came[step, number]].isoformat(),
                "settled_on": None
                if self.held[step, number] < 0
                else self.days[self.held[step, number]].isoformat(),
                "kept": int(self.kept[step, number]),
                "due": int(self.due[step, number]),
                "strength": round(float(self.block.strength[step, number]), 6),
            }
            for step in np.flatnonzero(self.block.introduced[:, number]).tolist()
        }

    def _state(self, step: int, number: int) -> str:
        if self.block.aside[step, number]:
            return "set-aside"
        if self.block.rank[step, number]:
            return "resting"
        return "settled" if self.block.settled[step, number] else "practising"

    def marked(self, marks: Marks, day: int) -> None:
        """Take down what was marked."""
        for what, grid in (
            (What.KEPT, marks.kept),
            (What.MISSED, marks.missed),
            (What.EXCUSED, marks.excused),
        ):
            if grid is None:
                continue
            for step, number in zip(*np.nonzero(grid), strict=True):
                self.lived.rows[number].append(Row(self.days[day], what, self.rules.ids[step]))

    def closed(self, now: Day) -> None:
        """Take down how a day closed."""
        self.kept += now.closed.kept
        self.due += now.closed.kept | now.closed.missed
        self.held[now.closed.settled] = now.day

    def live(self, chances: Chances, generator: np.random.Generator) -> Lived:
        """Let the households live through the days as the simulation has them do."""
        self.live_until(self.follower.reach, chances, generator)
        return self.lived

    def live_until(self, end: int, chances: Chances, generator: np.random.Generator) -> NDArray[np.bool_]:
        """Let them live through the days before one; who was quiet on the last of them."""
        quiet = np.zeros(self.block.households, bool)
        for day in range(end):
            self.before()
            drawn = generator.random((self.rules.size + 1, self.block.households), np.float32)
            quiet = _Watched(self, day).follow(chances, drawn, quiet)
        return quiet

    def open_only(self, day: int, resumed: NDArray[np.bool_]) -> Opened:
        """Open a day and leave it open."""
        self.before()
        opened = self.follower.opened(self.block, day, self.wishes.paused[day], resumed)
        self.opened(opened, day)
        return opened


class _Watched:
    """One day of the simulation, looked at between its opening and its close."""

    def __init__(self, chronicle: Chronicle, day: int) -> None:
        self.chronicle, self.number = chronicle, day

    def follow(
        self, chances: Chances, drawn: NDArray[np.float32], quiet: NDArray[np.bool_]
    ) -> NDArray[np.bool_]:
        """Follow it with the follower itself, whose opening is watched."""
        book, follower = self.chronicle, self.chronicle.follower
        usual = follower.opened

        def opened(
            block: Block, day: int, paused: NDArray[np.bool_] | None, resumed: NDArray[np.bool_]
        ) -> Opened:
            found = usual(block, day, paused, resumed)
            book.opened(found, day)
            return found

        follower.opened = opened  # type: ignore[method-assign]
        now = follower.day(book.block, self.number, chances, drawn, quiet, book.wishes.paused[self.number])
        follower.opened = usual  # type: ignore[method-assign]
        book.marked(now.marks, self.number)
        book.closed(now)
        return now.quiet


def random_wishes(random: Random, course: Course, households: int, days: int) -> Wishes:
    """What households may have decided: each something else."""
    steps = len(course.steps)
    roots = [number for number, step in enumerate(course.steps) if step.is_root]
    first = random.choice(roots)
    paused = np.zeros((days, households), bool)
    aside = np.zeros((steps, households), bool)
    for number in range(households):
        for _ in range(random.choice((0, 0, 1, 4, 8))):
            begins = random.randint(1, days)
            paused[begins : begins + random.choice((1, 1, 1, 3, 8, 15)), number] = True
        for step in range(steps):
            aside[step, number] = step != first and random.random() < 0.08
    wanted = [random.choice((-1, random.randrange(steps))) for _ in range(households)]
    ceiling = [random.choice((1 << 40, 5, 12, 30)) for _ in range(households)]
    return Wishes(first, random.choice(tuple(PACES)), np.array(wanted), np.array(ceiling), aside, paused)


START = date(2027, 1, 4)


def random_start(random: Random) -> date:
    """A day of one of four years, among them a leap year."""
    return START + timedelta(days=random.randint(0, 1400))
