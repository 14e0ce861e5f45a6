"""Groups are made, renamed and listed by their coach, and by nobody else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.coaching.groups import MOST_GROUPS, Wanted, choices, groups, new_group, one_group, rename
from coach.errors import Malformed, Unknown
from coach.ground.groups import KeptCourse
from coaching.village import ANA, BEN, Village, coach
from progress.living import on

WANTED = Wanted("  Summer\n by the sea ", "three-weeks", on(3), "de-AT")


@pytest.fixture
def village() -> Village:
    return Village()


def test_a_group_is_made_and_listed_in_the_order_of_making(village: Village) -> None:
    made = new_group(village.at(2).context, coach(), WANTED)
    assert (made.name, made.first_day, made.language) == ("Summer by the sea", on(3), "de-AT")
    assert [one.name for one in groups(village.context, coach()).groups] == ["Spring", "Summer by the sea"]
    assert one_group(village.context, coach(), made.group) == made
    assert groups(village.context, coach(BEN)).groups == ()


def test_the_same_request_makes_one_group_and_another_ones_request_of_that_name_its_own(
    village: Village,
) -> None:
    asked = replace(village.context, request_id="r1")
    first = new_group(asked, coach(BEN), WANTED)
    assert new_group(asked, coach(BEN), WANTED) == first
    assert new_group(asked, coach(ANA), WANTED).group != first.group
    assert len(groups(village.context, coach(BEN)).groups) == 1


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        (replace(WANTED, name=" \n"), "Write what the group is called"),
        (replace(WANTED, name="n" * 61), "at most 60 characters"),
        (replace(WANTED, course="nowhere"), "There is no course “nowhere”. There are: three-weeks."),
        (replace(WANTED, language="English, please"), "names no language"),
        (replace(WANTED, first_day=on(800)), "more than two years ahead"),
    ],
)
def test_what_cannot_be_made_is_refused_with_why(village: Village, wanted: Wanted, said: str) -> None:
    with pytest.raises(Malformed, match=said):
        new_group(village.context, coach(), wanted)
    assert len(groups(village.context, coach()).groups) == 1


def test_a_coach_has_so_many_groups_and_no_more(village: Village) -> None:
    for _ in range(MOST_GROUPS - 1):
        new_group(village.context, coach(), WANTED)
    with pytest.raises(Malformed, match="at most 200 groups"):
        new_group(village.context, coach(), WANTED)


def test_a_group_is_called_something_else_by_its_coach_alone(village: Village) -> None:
    assert rename(village.context, coach(), village.group, "Early spring").name == "Early spring"
    with pytest.raises(Unknown):
        rename(village.context, coach(BEN), village.group, "Mine")
    with pytest.raises(Malformed):
        rename(village.context, coach(), village.group, " ")
    assert one_group(village.context, coach(), village.group).name == "Early spring"


def test_a_course_of_ones_own_can_be_followed_and_anothers_cannot(village: Village) -> None:
    with village.store.coaching_writing() as writing:
        for whose in (ANA, BEN):
            writing.add_course(
                KeptCourse(f"d-{whose}", whose, f"course-{whose}", f"Of {whose}", "{}", b"", village.now)
            )
    assert [one.title for one in choices(village.context, coach())][1:] == ["Of ana"]
    made = new_group(village.context, coach(), replace(WANTED, course="course-ana"))
    assert made.title == "Of ana"
    with pytest.raises(Malformed):
        new_group(village.context, coach(), replace(WANTED, course="course-ben"))
