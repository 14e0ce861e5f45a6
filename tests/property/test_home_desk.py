"""A household that moves, drops and leaves desk work as it likes: every due is in sight all the same."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.desk import dues
from coach.desk.dues import TypedDue
from coach.errors import SteadingError
from coach.habits import day as habits
from coach.habits import pauses, steps
from desk.working import seen, today, working
from habits.house import HOME, House
from progress.living import on

DAYS = 28
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
DESK = "desk-work"

moves = st.sampled_from(WEEKDAYS).map(lambda day: ("move", f"FREQ=WEEKLY;BYDAY={day}"))
rarer = st.sampled_from(WEEKDAYS).map(lambda day: ("move", f"FREQ=WEEKLY;INTERVAL=2;BYDAY={day}"))
doings = st.one_of(
    moves,
    rarer,
    st.just(("aside", "")),
    st.just(("back", "")),
    st.integers(0, 9).map(lambda n: ("away", str(n))),
)
stories = st.dictionaries(st.integers(2, DAYS), doings, min_size=2, max_size=8)
written = st.lists(
    st.tuples(st.integers(1, DAYS), st.integers(0, 30), st.sampled_from([0, 3, 10])), min_size=3, max_size=12
)
left_open = st.sets(st.integers(1, DAYS), max_size=4)


def do(house: House, day: int, what: str, about: str) -> None:
    """What the household does about its desk work; what is not possible that day is left."""
    try:
        if what == "move":
            steps.adjust(house.context, HOME, DESK, {"repeats": about})
        elif what == "aside":
            steps.set_aside(house.context, HOME, DESK)
        elif what == "back":
            steps.restore(house.context, HOME, DESK)
        else:
            pauses.pause(house.context, HOME, on(day), on(day + int(about)))
    except SteadingError:
        pass


def look(house: House, sight: set[tuple[str, date]]) -> None:
    """Look at today's page, and hold it against what is promised of it."""
    now = house.today
    page, desk = today(house), seen(house)
    due = {(one.due, one.on) for one in page.due} if page else set()
    sight |= due | ({(one.due, one.on) for one in page.dues} if page else set())
    # The desk's page knows every due; those not seen to and come are due today.
    assert due == {(one.id, one.on) for one in desk.dues if one.on <= now}
    until = desk.next_desk_day or now + timedelta(days=1)
    for one in desk.dues:
        if one.on - timedelta(days=one.needs) < until:
            assert (one.id, one.on) in sight, (now, until)


@settings(max_examples=60)
@given(stories, written, left_open, st.sets(st.integers(1, DAYS), max_size=3))
def test_every_due_is_in_sight_on_its_date_and_before_it_is_too_late(
    story: dict[int, tuple[str, str]],
    entered: list[tuple[int, int, int]],
    left: set[int],
    cleared: set[int],
) -> None:
    house, sight = working(), set[tuple[str, date]]()
    for day in range(1, DAYS + 1):
        house.at(day)
        if day in story:
            do(house, day, *story[day])
        for name, (when, ahead, needs) in enumerate(entered):
            if when == day:
                typed = TypedDue(f"due {name}", (on(day) + timedelta(days=ahead)).isoformat(), "", str(needs))
                dues.add(house.context, HOME, typed)
        look(house, sight)
        if day in cleared and (found := today(house)):
            for one in found.due:
                dues.see_to(house.context, HOME, one.due, one.on)
            look(house, sight)
        # A mark on a day away would end the absence, and one of what rests would bring it back.
        here = {line.step for line in habits.today(house.context, HOME).checklist}
        for step in here - ({DESK} if day in left else set()):
            house.mark(day, step)
