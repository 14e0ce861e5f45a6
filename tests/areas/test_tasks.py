"""The tasks of the areas: added, changed, moved and removed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from areas.house import AreaHouse
from coach.areas import tasks as area_tasks
from coach.errors import Malformed
from habits.house import HOME

if TYPE_CHECKING:
    from coach.areas.tasks import WantedTask


@pytest.fixture
def house() -> AreaHouse:
    return AreaHouse()


def test_tasks_are_added_changed_moved_and_removed(house: AreaHouse) -> None:
    context = house.context
    area_tasks.add_task(context, HOME, "bath", "detail", {"title": "Mirror", "minutes": 5, "position": 0})
    assert house.titles("bath") == ["Mirror", "Tiles 1", "Tiles 2"]
    mirror = house.task("Mirror")
    area_tasks.change_task(context, HOME, mirror, {"title": "Mirrors", "position": 5})
    assert house.titles("bath") == ["Tiles 1", "Tiles 2", "Mirrors"]
    area_tasks.change_task(context, HOME, mirror, {"area": "kitchen"})
    assert house.titles("kitchen")[-1] == "Mirrors"
    area_tasks.remove_task(context, HOME, mirror)
    assert "Mirrors" not in house.titles("kitchen")
    assert house.areas.undo == "Removed “Mirrors”"


def test_an_interval_of_ones_own_has_no_source(house: AreaHouse) -> None:
    found = area_tasks.change_task(house.context, HOME, house.task("Sheets"), {"minutes": 12})
    assert (found.areas[2].detail[0].every_days, found.areas[2].detail[0].source) == (14, "A source")
    found = area_tasks.change_task(house.context, HOME, house.task("Sheets"), {"every_days": 21})
    assert (found.areas[2].detail[0].every_days, found.areas[2].detail[0].source) == (21, None)


@pytest.mark.parametrize(
    ("task", "said"),
    [
        ({"title": "Mirror", "minutes": 0}, "“Mirror” needs 1 to 1440 minutes, not 0"),
        ({"title": "Mirror", "minutes": 2000}, "“Mirror” needs 1 to 1440 minutes, not 2000"),
        ({"title": "Mirror", "minutes": 5, "every_days": 0}, "every 1 to 3660 days, not every 0"),
        ({"title": "  ", "minutes": 5}, "A task has no name"),
        ({"title": "Mirror", "minutes": 5, "source": "x" * 201}, "A source has a name of 201 characters"),
    ],
)
def test_a_task_that_cannot_be_is_refused_and_nothing_is_lost(
    house: AreaHouse, task: WantedTask, said: str
) -> None:
    before = house.areas
    with pytest.raises(Malformed, match=said):
        area_tasks.add_task(house.context, HOME, "bath", "detail", task)
    assert house.areas == before
