"""Whose a group is: its coach alone is told that it exists."""

from datetime import UTC, date, datetime
from types import SimpleNamespace

import pytest

from coach.coaching.groups import group_of, refuse_others
from coach.errors import Unknown
from coach.ground.groups import Group
from coach.ground.people import Caller

MORNING = Group(
    "g1", "ana", "Spring", "three-weeks", date(2027, 1, 4), "en-GB", datetime(2027, 1, 1, tzinfo=UTC)
)
READING = SimpleNamespace(group={"g1": MORNING}.get, is_coach={"ana", "ben"}.__contains__)


def _asks(person: str, *, coaches: bool = True) -> Caller:
    return Caller("", person=person, coaches=coaches)


def test_its_coach_is_given_the_group() -> None:
    assert group_of(READING, _asks("ana"), "g1") is MORNING


@pytest.mark.parametrize(
    ("caller", "group"),
    [
        (_asks("ben"), "g1"),
        (_asks("ana"), "g2"),
        (_asks("ana", coaches=False), "g1"),
        (Caller("home"), "g1"),
    ],
    ids=["another coach", "no such group", "not let in as a coach", "a household"],
)
def test_anybody_else_is_told_of_no_group_in_the_same_words(caller: Caller, group: str) -> None:
    with pytest.raises(Unknown, match=r"^There is no such group, or it is not yours\.$"):
        group_of(READING, caller, group)


@pytest.mark.parametrize("caller", [_asks("cem"), _asks("ana", coaches=False)])
def test_who_is_no_coach_makes_no_group(caller: Caller) -> None:
    with pytest.raises(Unknown):
        refuse_others(READING, caller)
