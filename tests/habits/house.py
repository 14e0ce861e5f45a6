"""A household in memory, with a shelf of lessons and a clock that can be set."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

from coach.course.model import Caution
from coach.errors import Unknown
from coach.ground.memo import Memo
from coach.ground.ports import Context
from coach.household import start
from coach.store.memory import MemoryStore
from habits import marking
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path
    from typing import Self

    from coach.course.groups import StepGroup
    from coach.course.model import Course, Step
    from coach.course.reader import TextFile
    from coach.course.rooms import RoomKind
    from coach.course.starters import Starter
    from coach.habits.answers import Day, MarkName
    from coach.progress.log import Row

HOME = "home"
SMALL = a_course(
    a_step("bed", 2, minutes=2, why="It shows at once.", slot="morning"),
    a_step("cups", after=["bed"], minutes=5),
    a_step("job", after=["bed"], repeats="FREQ=WEEKLY", waits=False, minutes=30, caution="hot"),
    a_step("lamp", after=["cups"], slot="evening", settles={"kept": 3, "of": 4}),
)
HOT = Caution("hot", "Hot things", "Let it cool.", "common practice, no source")


class Shelf:
    """A library whose course can be exchanged; every new one has a digest of its own."""

    def __init__(
        self, course: Course, catalogue: Sequence[Step] = (), texts: Sequence[TextFile] = ()
    ) -> None:
        self._catalogue = {step.id: step for step in catalogue}
        self._texts = texts
        self._changes = 0
        self.put(course)

    def put(self, course: Course) -> None:
        """Exchange the course's files."""
        self._changes += 1
        self._course = replace(course, digest=f"digest {self._changes}")

    def of(self, _course: str, _day: date) -> Shelf:
        return self

    def course(self, _name: str) -> Course:
        return self._course

    def is_shipped(self, _name: str) -> bool:
        return True

    def folder_of(self, name: str) -> Path:
        raise Unknown(name)

    def look_again(self, _name: str) -> None:
        """Nothing was kept."""

    def catalogue(self) -> Mapping[str, Step]:
        return self._catalogue

    def groups(self) -> Sequence[StepGroup]:
        return ()

    def texts(self) -> Sequence[TextFile]:
        return self._texts

    def digest(self) -> str:
        return str(self._changes)

    def cautions(self) -> Mapping[str, Caution]:
        return {HOT.key: HOT}

    def rooms(self) -> Sequence[RoomKind]:
        return ()

    def starters(self) -> Sequence[Starter]:
        return ()


class House:
    """One household and all that surrounds it; `context` is what use cases are given."""

    def __init__(
        self, course: Course = SMALL, catalogue: Sequence[Step] = (), texts: Sequence[TextFile] = ()
    ) -> None:
        self.store = MemoryStore()
        self.shelf = Shelf(course, catalogue, texts)
        self.memo = Memo()
        self.at(1)

    def at(self, day: int, hour: str = "12:00") -> Self:
        """Set the clock to an hour (UTC) of a day, counted from 1."""
        self.now = datetime.combine(on(day), time.fromisoformat(hour), UTC)
        return self

    @property
    def today(self) -> date:
        """The date by the clock, for a household whose day begins at 03:00 UTC."""
        return (self.now - timedelta(hours=3)).date()

    @property
    def context(self) -> Context:
        """What use cases are given."""
        return Context(self.store, self.shelf, lambda: self.now, memo=self.memo)

    def begun(self, first: str | None = None, pace: str | None = None) -> Self:
        """The same house, started on day 1."""
        start.start(self.context, HOME, first, pace=pace)
        return self

    def mark(self, day: int, step: str, mark: MarkName = "kept", request_id: str | None = None) -> Day:
        """Mark a step on a day, now."""
        return marking.mark(self.asked(request_id), HOME, on(day), step, mark)

    def asked(self, request_id: str | None) -> Context:
        """What use cases are given for a program's request of that id."""
        return replace(self.context, request_id=request_id, again=True)

    def rows(self) -> list[Row]:
        """The log as it is stored."""
        with self.store.reading(HOME) as reading:
            return list(reading.rows())

    def written(self) -> list[str]:
        """The log but for what the start wrote, as `day what step value`."""
        first = on(1)
        said = (
            f"{(row.date - first).days + 1} {row.what.value} {row.step} {row.value}"
            for row in self.rows()[3:]
        )
        return [" ".join(text.split()) for text in said]

    def saved(self) -> int:
        """How many standings are kept."""
        with self.store.reading(HOME) as reading:
            return len(reading.home.standings)

    def without_cache(self) -> Context:
        """The same household in a store that has kept no standing, and nothing remembered."""
        store = MemoryStore()
        with self.store.reading(HOME) as reading, store.writing(HOME) as writing:
            household = reading.household()
            if household is not None:
                writing.create(household)
                for version in reading.courses():
                    writing.add_course(version, reading.course_content(version.digest))
                writing.append(reading.rows(), self.now)
        return Context(store, self.shelf, lambda: self.now)
