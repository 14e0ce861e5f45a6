"""What the latest desk-work day told: read off the steps as they stand, it is what the days say."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

import pytest

from coach.desk import days
from coach.ground.situation import looking
from coach.habits import pauses, steps
from desk.working import working
from habits.house import HOME
from progress.living import on

if TYPE_CHECKING:
    from coach.desk.rules.dues import Told
    from habits.house import House


def both(house: House) -> tuple[Told | None, Told | None]:
    """What is read off the steps, and what the days say."""
    with looking(house.context, HOME) as where:
        return days._plainly(where), days._folded(where, where.today - days.BACK[-1])  # noqa: SLF001


def a_day(house: House, day: int, luck: random.Random, unrest: float) -> None:
    """Mark some steps; now and then an absence is planned, or desk work moved, set aside or taken up."""
    for step in ("bed", "desk-work"):
        if luck.random() < 0.85:
            house.mark(day, step, luck.choice(["kept", "kept", "small", "missed", "excused"]))
    if luck.random() < unrest:
        first = day + luck.randrange(1, 3)
        pauses.pause(house.context, HOME, on(first), on(first + luck.randrange(0, 9)))
    if luck.random() < unrest:
        rule = {"repeats": f"FREQ=WEEKLY;BYDAY={luck.choice(['TH', 'FR', 'TU,SA'])}"}
        steps.adjust(house.context, HOME, "desk-work", rule)
    if luck.random() < unrest:
        luck.choice([steps.set_aside, steps.restore])(house.context, HOME, "desk-work")


@pytest.mark.parametrize(("unrest", "plain_days"), [(0, 20), (0.02, 1), (0.1, 0)])
@pytest.mark.parametrize("seed", range(4))
def test_what_is_read_off_the_steps_is_what_the_days_say(seed: int, unrest: float, plain_days: int) -> None:
    luck, house, plain = random.Random(seed), working(), 0  # noqa: S311  luck of a test
    for day in range(2, 70):
        a_day(house.at(day), day, luck, unrest)
        read, said = both(house.at(day + 1))
        assert read in {None, said}, day
        plain += read is not None
    assert plain >= plain_days
