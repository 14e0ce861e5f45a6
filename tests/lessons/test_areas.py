"""What ships in `lessons/areas`: kinds of rooms with enough tasks, intervals with a source, cautions."""

from __future__ import annotations

import pytest

from coach.areas.rules.choosing import VISITS, chosen, meeting
from coach.areas.rules.model import MOST_TASKS, NAME_LENGTH, TITLE_LENGTH
from coach.areas.rules.packing import visits
from coach.areas.rules.rotation import MINUTES_A_WEEK
from coach.coaching.lessons_folder import shipped_lessons
from coach.coaching.library import FolderLibrary
from coach.course.reader import read_rooms
from coach.course.room_names import kind_of
from coach.course.rooms import RoomKind, Use

KINDS = read_rooms(shipped_lessons() / "areas")
CAUTIONS = FolderLibrary().cautions()
EVERY = pytest.mark.parametrize("kind", KINDS, ids=[kind.id for kind in KINDS])
AUTHORITIES = {"NFPA", "ENERGY STAR", "American Cleaning Institute"}


def test_there_are_at_least_nine_kinds_of_rooms_and_the_library_has_them() -> None:
    assert len(KINDS) >= 9
    assert tuple(FolderLibrary().rooms()) == KINDS


@EVERY
def test_a_kind_has_at_least_twelve_detail_tasks_and_some_to_declutter(kind: RoomKind) -> None:
    assert 12 <= len(kind.detail) <= MOST_TASKS
    assert len(kind.declutter) >= 8


@EVERY
def test_tasks_are_short_enough_for_a_turn_and_their_names_for_a_list(kind: RoomKind) -> None:
    for task in (*kind.detail, *kind.declutter):
        assert 1 <= task.minutes <= MINUTES_A_WEEK / 2
        assert len(task.title) <= 70
        assert len(task.title) + NAME_LENGTH <= TITLE_LENGTH


@EVERY
def test_a_list_begins_with_four_turns_at_most_and_all_that_hygiene_needs(kind: RoomKind) -> None:
    assert kind.minutes > MINUTES_A_WEEK
    begins = [kind.detail[at] for _, at in sorted(chosen([kind.detail], MINUTES_A_WEEK))]
    assert visits([task.minutes for task in begins], MINUTES_A_WEEK) <= VISITS
    assert not meeting(begins, MINUTES_A_WEEK)
    needed = [task for task in kind.detail if task.every_days or (task.hygiene and task.caution != "acids")]
    assert len(needed) >= 3
    assert [task for task in needed if task not in begins] == []


def test_kinds_stand_by_their_use_from_wet_rooms_to_outside() -> None:
    uses = [kind.use for kind in KINDS]
    assert None not in uses
    assert uses == sorted(uses, key=lambda use: list(Use).index(use or Use.WET))
    assert set(uses) == set(Use)


@EVERY
def test_intervals_name_an_authority_of_the_facts(kind: RoomKind) -> None:
    for task in kind.detail:
        assert (task.every_days is None) == (task.source is None)
        assert task.source is None or task.source in AUTHORITIES


@EVERY
def test_every_caution_is_one_that_there_is(kind: RoomKind) -> None:
    keys = {task.caution for task in (*kind.detail, *kind.declutter)} - {None}
    assert keys <= set(CAUTIONS)


@EVERY
def test_a_kind_is_known_by_its_title_and_by_each_of_its_words(kind: RoomKind) -> None:
    assert kind_of(kind.title, KINDS) is kind
    assert [word for word in kind.words if kind_of(word, KINDS) is not kind] == []


def test_work_that_can_hurt_has_its_caution() -> None:
    """Words of such work, each with the least that has to stand beside it."""
    for kind in KINDS:
        for task in (*kind.detail, *kind.declutter):
            said = task.title.lower()
            if any(word in said for word in ("smoke alarm", "oven", "descale", "mower", "freezer")):
                assert task.caution is not None, f"{kind.id}: {task.title}"


def test_no_title_comes_twice_in_a_kind() -> None:
    for kind in KINDS:
        titles = [task.title for task in (*kind.detail, *kind.declutter)]
        assert len(titles) == len(set(titles)), kind.id


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Studio", "one-room-home"),
        ("bedsit", "one-room-home"),
        ("Bed-sitter", "one-room-home"),
        ("Our one-room flat", "one-room-home"),
        ("Open-plan", "open-plan"),
        ("Kitchen/living room", "open-plan"),
        ("Lounge and kitchen", "open-plan"),
        ("bathrooms", "bathroom"),
        ("2nd bathroom", "bathroom"),
        ("EN-SUITE", "bathroom"),
        ("Robin\u2019s room", "bedroom"),
        ("Robin's bathroom", "bathroom"),
        ("baby room", "young-persons-room"),
        ("The baby's room", "young-persons-room"),
        ("Nursery", "young-persons-room"),
        ("linen cupboard", "linen-cupboard"),
        ("Airing cupboards", "linen-cupboard"),
        ("Greenhouse", "greenhouse"),
        ("Glass-house", "greenhouse"),
        ("Car", "car"),
        ("both cars", "car"),
        ("Carport", "garage-shed"),
        ("Art studio", "hobby-room"),
        ("livingroom", "living-room"),
        ("attic bedroom", "bedroom"),
        ("Chapel", None),
    ],
)
def test_what_people_call_their_rooms_is_understood(name: str, kind: str | None) -> None:
    found = kind_of(name, KINDS)
    assert (found.id if found else None) == kind
