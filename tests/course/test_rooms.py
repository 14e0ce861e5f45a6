"""Starter lists: read from their files with every fault named where it stands, and known by a room's name."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.course.reader import read_rooms
from coach.course.room_names import kind_of
from coach.course.rooms import RoomKind, RoomTask, Use
from coach.errors import FaultyFile

if TYPE_CHECKING:
    from pathlib import Path

KITCHEN = """\
title = "Kitchen"
use = "wet"
words = ["kitchen", "galley"]

[[detail]]
title = "Wipe the shelf"
minutes = 8
caution = "ladder"

[[detail]]
title = "Test the alarm"
minutes = 5
every_days = 30
source = "An authority"
hygiene = true

[[declutter]]
title = "Mugs"
minutes = 10
"""


NEEDS_SOURCE = "needs a “source” beside it: the authority that names the interval"


def written(folder: Path, **files: str) -> Path:
    for name, text in files.items():
        (folder / f"{name.replace('_', '-')}.toml").write_text(text, encoding="utf-8")
    return folder


def faults(folder: Path) -> list[str]:
    with pytest.raises(FaultyFile) as caught:
        read_rooms(folder)
    return [str(fault) for fault in caught.value.faults]


def test_a_file_gives_a_kind_of_room_with_both_its_lists(tmp_path: Path) -> None:
    (kitchen,) = read_rooms(written(tmp_path, **{"02_kitchen": KITCHEN}))
    assert kitchen == RoomKind(
        id="kitchen",
        title="Kitchen",
        words=("kitchen", "galley"),
        detail=(
            RoomTask("Wipe the shelf", 8, caution="ladder"),
            RoomTask("Test the alarm", 5, 30, "An authority", hygiene=True),
        ),
        declutter=(RoomTask("Mugs", 10),),
        use=Use.WET,
    )
    assert kitchen.minutes == 13


def test_every_fault_is_named_with_its_line(tmp_path: Path) -> None:
    text = (
        KITCHEN.replace("minutes = 8", "minutes = 0")
        .replace('source = "An authority"\n', "")
        .replace("minutes = 10", 'minutes = "long"\nevery_days = 3')
    )
    assert faults(written(tmp_path, kitchen=text)) == [
        "kitchen.toml:7: “detail.1.minutes” needs a whole number from 1 to 1440, not 0",
        f"kitchen.toml:13: “detail.2.every_days” {NEEDS_SOURCE}",
        "kitchen.toml:18: “declutter.1.minutes” needs a whole number from 1 to 1440, not “long”",
        "kitchen.toml:19: “declutter.1.every_days” is not a key that is known here",
    ]


def test_what_is_missing_misspelt_or_of_another_kind_is_named(tmp_path: Path) -> None:
    text = 'word = ["kitchen"]\ndetail = "all of it"\n'
    assert faults(written(tmp_path, kitchen=text)) == [
        "kitchen.toml:1: “word” is not a key that is known here; did you mean “words”?",
        "kitchen.toml:2: “detail” needs tables headed [[detail]], not “all of it”",
        "kitchen.toml: “title” is missing",
        "kitchen.toml: “words” is missing",
    ]


def test_a_file_that_is_no_toml_and_one_with_a_fault_are_named_together(tmp_path: Path) -> None:
    found = faults(written(tmp_path, a="title = ", b=KITCHEN.replace("minutes = 8", "minutes = 1441")))
    assert [fault.partition(" ")[0] for fault in found] == ["a.toml:1:", "b.toml:7:"]


def test_a_word_belongs_to_one_kind_and_a_neighbour_has_to_be_there(tmp_path: Path) -> None:
    other = KITCHEN.replace('"Kitchen"', '"Pantry"').replace('"kitchen", "galley"', '"GALLEY", "pantry"')
    folder = written(tmp_path, **{"1_kitchen": KITCHEN, "2_pantry": f'joins = ["kitchen", "moon"]\n{other}'})
    assert faults(folder) == [
        "2-pantry.toml: “joins” names “moon”, and no kind of room has that id",
        "2-pantry.toml: the word “GALLEY” is taken by 1-kitchen.toml; leave it to one of the two",
    ]


KINDS = [
    RoomKind("bedroom", "Bedroom", ("bedroom", "parents' room", "own room"), ()),
    RoomKind("child", "Child's or teenager's room", ("kids' room", "kids' bedroom"), ()),
    RoomKind("toilet", "Toilet", ("toilet", "en suite"), ()),
    RoomKind("garden", "Garden", ("garden", "back garden"), ()),
    RoomKind("shed", "Shed", ("garden shed", "cafe"), ()),
]


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Bedroom", "bedroom"),
        ("bedroom upstairs", "bedroom"),
        ("Parents\u2019 room", "bedroom"),
        ("PARENTS`  ROOM", "bedroom"),
        ("Kids\u2019 bedroom", "child"),
        ("Child's or teenager's room", "child"),
        ("The En-suite", "toilet"),
        ("Garden shed", "shed"),
        ("Shed in the back garden", "garden"),
        ("Bedroom toilet", "bedroom"),
        ("Café", "shed"),
        ("Bedrooms", "bedroom"),
        ("BED ROOM", "bedroom"),
        ("2nd bedroom", "bedroom"),
        ("bedroom2", "bedroom"),
        ("Kid rooms", "child"),
        ("kidsroom", None),
        ("backgarden", "garden"),
        ("Back-gardens", "garden"),
        ("Bedroom/study", "bedroom"),
        ("Robin's room", "bedroom"),
        ("Robin\u2019s rooms", "bedroom"),
        ("The twins' room upstairs", "bedroom"),
        ("Robin's toilet", "toilet"),
        ("Robins room", None),
        ("Robin's roomette", None),
        ("Toiletries", None),
        ("Room", None),
        ("", None),
        ("\u2019", None),
    ],
)
def test_a_rooms_kind_is_told_by_the_longest_whole_words_in_its_name(name: str, kind: str | None) -> None:
    found = kind_of(name, KINDS)
    assert (found.id if found else None) == kind


def test_of_equally_long_words_the_later_one_says_what_the_room_is() -> None:
    kinds = [RoomKind("a", "Bath", ("shower",), ()), RoomKind("b", "Study", ("office",), ())]
    assert kind_of("Office shower", kinds) == kinds[0]
    assert kind_of("Shower office", kinds) == kinds[1]


def test_a_name_with_words_of_all_kinds_that_one_joins_means_that_one() -> None:
    kitchen, living = (
        RoomKind("kitchen", "Kitchen", (), ()),
        RoomKind("living", "Lounge", ("living room",), ()),
    )
    open_plan = RoomKind("open", "Open plan", (), (), joins=("kitchen", "living"))
    kinds = [kitchen, living, open_plan]
    for name in ("Kitchen and lounge", "living room/kitchen", "Open-plan"):
        assert kind_of(name, kinds) == open_plan
    assert kind_of("Kitchen", kinds) == kitchen
    assert kind_of("Living room", kinds) == living


def test_somebodys_room_is_none_where_no_kind_says_so() -> None:
    assert kind_of("Robin's room", [RoomKind("bedroom", "Bedroom", ("bedroom",), ())]) is None


def test_a_use_is_one_of_five_and_the_order_of_areas(tmp_path: Path) -> None:
    assert faults(written(tmp_path, kitchen=KITCHEN.replace('"wet"', '"damp"')))[0].startswith(
        "kitchen.toml:2: “use”"
    )
    assert list(Use) == ["wet", "sleeping", "living", "ways", "outside"]
