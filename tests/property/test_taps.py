"""Marks that say when they were tapped end the same in whatever order they come, each once or more often."""

from __future__ import annotations

from contextlib import closing, suppress
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, NamedTuple

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.errors import Newer
from coach.ground.memo import Memo
from coach.habits.day import day_view, today
from coach.habits.hands import Tap
from coach.habits.marks import Marking, marked
from coach.household import start
from coach.progress.log import marks_by_date
from coach.store.opening import open_store
from habits.house import HOME, House
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.ground.ports import Context
    from coach.habits.answers import MarkName

COURSE = a_course(
    a_step("bunk", 2, formerly=["bed"]),
    a_step("cups", after=["bunk"]),
    a_step("round", repeats="FREQ=WEEKLY", waits=False, after=["bunk"]),
)
STEPS = ("bunk", "bed", "cups", "round")
SENT = datetime.combine(on(6), datetime.min.time(), UTC) + timedelta(hours=20)


class Sent(NamedTuple):
    """A mark of a member's device, tapped so many minutes before it is sent."""

    by: str
    on: date
    step: str
    mark: MarkName | None
    minutes: int


marks = st.builds(
    Sent,
    st.sampled_from(["ana", "ben"]),
    st.integers(3, 6).map(on),
    st.sampled_from(STEPS),
    st.sampled_from(["kept", "small", "missed", "excused", None]),
    st.integers(1, 3000),
)


def _minutes(sent: Sent) -> int:
    return sent.minutes


lists = st.lists(marks, min_size=1, max_size=9, unique_by=_minutes)


def told(context: Context, sent: Sequence[Sent]) -> tuple[object, object]:
    """The marks that hold once these were sent, and where the household stands then."""
    for one in sent:
        tap = Tap(tapped_at=SENT - timedelta(minutes=one.minutes))
        marking = Marking(one.on, one.step, one.mark, tap)
        with suppress(Newer):
            marked(replace(context, by=one.by), HOME, marking, day_view)
    with context.store.reading(HOME) as reading:
        rows = reading.rows()
    held = {day: dict(sorted(kept.items())) for day, kept in marks_by_date(rows).items() if kept}
    return held, replace(today(context, HOME), version=0)


def begun() -> House:
    """A household of two that kept its first step for a few days."""
    house = House(COURSE).begun("bunk")
    for day in (1, 2):
        house.at(day).mark(day, "bunk")
    house.now = SENT
    return house


@given(lists, st.data())
@settings(max_examples=60, deadline=None)
def test_any_order_with_any_doublings_ends_as_the_order_of_the_taps(
    sent: list[Sent], drawn: st.DataObject
) -> None:
    online = sorted(sent, key=_minutes, reverse=True)
    doubled = sent + drawn.draw(st.lists(st.sampled_from(sent), max_size=5))
    shuffled = drawn.draw(st.permutations(doubled))
    assert told(begun().context, shuffled) == told(begun().context, online)


@given(lists, st.data())
@settings(max_examples=8, deadline=None)
def test_so_they_do_in_a_database(sent: list[Sent], drawn: st.DataObject) -> None:
    found = []
    for order in (drawn.draw(st.permutations(sent + sent[:2])), sorted(sent, key=_minutes, reverse=True)):
        with TemporaryDirectory() as folder, closing(open_store(f"sqlite:///{folder}/home.db")) as store:
            house = House(COURSE)
            context = replace(house.context, store=store, memo=Memo())
            start.start(context, HOME, "bunk")
            house.now = SENT
            found.append(told(context, order))
    assert found[0] == found[1]
