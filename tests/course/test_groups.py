"""Groups of the catalogue: read in order, and every fault told with its line."""

from __future__ import annotations

import pytest

from coach.course.groups import StepGroup, groups_of
from coach.errors import FaultyFile

KNOWN = ("attic", "boxes", "ladder")
WHOLE = '[roof]\ntitle = "Roof"\nsteps = ["boxes", "attic"]\n\n[rest]\ntitle = "Rest"\nsteps = []\n'


def faults(text: str) -> list[str]:
    """What is wrong with a file of groups."""
    with pytest.raises(FaultyFile) as raised:
        groups_of("groups.toml", text.encode(), KNOWN)
    return [str(fault) for fault in raised.value.faults]


def test_groups_and_their_steps_come_in_the_order_written() -> None:
    assert groups_of("groups.toml", WHOLE.encode(), KNOWN) == (
        StepGroup("Roof", ("boxes", "attic")),
        StepGroup("Rest", ()),
    )


def test_a_step_that_is_not_there_is_told_with_the_one_that_may_be_meant() -> None:
    assert faults('[roof]\ntitle = "Roof"\nsteps = [\n"laddr",\n]\n') == [
        "groups.toml:4: the catalogue has no step “laddr”; did you mean “ladder”?"
    ]


def test_a_step_stands_in_one_group() -> None:
    twice = WHOLE.replace("steps = []", 'steps = ["attic"]')
    assert faults(twice) == ["groups.toml:7: “attic” stands in “roof” already; take it out of one of them"]
    assert faults('[roof]\ntitle = "Roof"\nsteps = ["attic", "attic"]\n')


def test_a_group_has_a_title_and_steps_and_no_other_key() -> None:
    assert faults('[roof]\nsteps = ["attic"]\ncolour = "red"\n') == [
        "groups.toml:3: “roof.colour” is not a key that is known here",
        "groups.toml:1: “roof.title” is missing",
    ]
    assert faults('title = "Roof"\n') == ["groups.toml:1: “title” needs a table of keys, not “Roof”"]
