"""What a household decides about steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.situation import looking
from coach.habits import path, steps
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.progress.log import Row, What
from habits.house import HOME, SMALL, House
from progress.living import a_step, on

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.ground.ports import Context

OFFERED = (a_step("water", 2, minutes=1, why="One glass.", caution="hot"), a_step("walk", 1))


def test_a_step_of_their_own_comes_last_with_an_id_made_from_its_title() -> None:
    house = House().begun()
    view = steps.add(house.context, HOME, None, {"title": "Gieß die Pflänzchen!"})
    assert (view.step, view.own, view.state) == ("giess-die-pflanzchen", True, "ahead")
    assert [step.step for step in path.path(house.context, HOME).steps][-1] == "giess-die-pflanzchen"


def test_an_id_that_is_taken_gets_a_number() -> None:
    house = House().begun()
    ids = [steps.add(house.context, HOME, None, {"title": "Bed"}).step for _ in range(3)]
    assert ids == ["bed-2", "bed-3", "bed-4"]


def test_a_hundred_steps_can_be_added_and_no_more() -> None:
    house = House().begun()
    rows = [Row(on(1), What.ADD, f"own-{number}", '{"title": "Own"}') for number in range(99)]
    with house.store.writing(HOME) as writing:
        writing.append(rows, house.context.clock())
    steps.add(house.context, HOME, None, {"title": "The hundredth"})
    with pytest.raises(NotEditable, match="There are 100 added steps already, as many as there can be"):
        steps.add(house.context, HOME, None, {"title": "One more"})
    assert sum(step.own for step in path.path(house.context, HOME).steps) == 100


@pytest.mark.parametrize("title", ["植物", "!!!", "x" * 300])
def test_any_title_makes_an_id(title: str) -> None:
    house = House().begun()
    made = steps.add(house.context, HOME, None, {"title": title}).step
    assert 1 <= len(made) <= 60
    assert path.step(house.context, HOME, made).title == title


def test_a_step_of_their_own_comes_by_the_rules() -> None:
    house = House().begun()
    steps.add(house.context, HOME, "plants", {"title": "Plants", "waits": False})
    house.mark(1, "bed")
    house.at(2)
    assert today(house.context, HOME).introduced == "plants"


@pytest.mark.parametrize(
    ("step", "definition", "error", "words"),
    [
        ("bed", {"title": "Bed"}, NotEditable, "There is a step “bed” already. Choose another id."),
        ("../up", {"title": "Up"}, Malformed, "cannot be a step's id"),
        ("p" * 81, {"title": "Long"}, Malformed, "cannot be a step's id"),
        ("plants", {}, Malformed, "“title” is missing"),
        ("plants", {"title": ""}, Malformed, "“title” is empty"),
        ("plants", {"title": "P", "colour": "green"}, Malformed, "“colour” is not a key that is known here"),
        ("plants", {"title": "P", "repeats": "FREQ=HOURLY"}, Malformed, "repeats"),
        ("plants", {"title": "P", "repeats": "FREQ=DAILY;COUNT=3"}, Malformed, "repeats"),
        ("plants", {"title": "P", "minutes": -1}, Malformed, "minutes"),
        ("plants", {"title": "P", "settles": {"kept": 3, "of": 2}}, Malformed, "settles"),
        (
            "plants",
            {"title": "P", "after": ["attic"]},
            Malformed,
            "It comes after “attic”, and there is no such step.",
        ),
        (
            "plants",
            {"title": "P", "after_any": ["plants"]},
            Malformed,
            "It comes after “plants”, and there is no such",
        ),
    ],
)
def test_a_step_nobody_can_have_is_refused_and_nothing_is_written(
    step: str, definition: dict[str, object], error: type[Exception], words: str
) -> None:
    house = House().begun()
    with pytest.raises(error, match=words):
        steps.add(house.context, HOME, step, definition)
    assert house.written() == []


def test_a_step_of_the_catalogue_brings_its_lessons_and_its_caution() -> None:
    house = House(catalogue=OFFERED).begun()
    view = steps.add_from_catalogue(house.context, HOME, "water")
    assert (view.title, view.minutes, view.own) == ("The water", 1, True)
    assert view.caution is not None
    day = house.mark(1, "water")
    assert day.lesson is not None
    lessons = path.step(house.context, HOME, "water").lessons
    assert [(lesson.number, lesson.title) for lesson in lessons] == [(1, "water 1"), (2, "water 2")]


def test_the_catalogue_says_what_a_household_has_already() -> None:
    house = House(catalogue=OFFERED).begun()
    steps.add_from_catalogue(house.context, HOME, "walk")
    with looking(house.context, HOME) as where:
        offered = {
            step.step: step.added for step in steps.catalogue_beside(where.context, where.standing.steps)
        }
    assert offered == {"water": False, "walk": True}
    with pytest.raises(NotEditable, match="There is a step “walk” already"):
        steps.add_from_catalogue(house.context, HOME, "walk")
    with pytest.raises(Unknown, match="The catalogue has no step “attic”"):
        steps.add_from_catalogue(house.context, HOME, "attic")


def test_before_the_start_the_catalogue_can_be_read() -> None:
    assert [step.added for step in steps.catalogue_beside(House(catalogue=OFFERED).context, ())] == [
        False,
        False,
    ]


def test_a_step_is_adjusted_from_today_on() -> None:
    house = House().begun()
    house.at(3)
    view = steps.adjust(house.context, HOME, "bed", {"title": "Covers", "cue": "at dawn", "minutes": 1})
    assert (view.title, view.cue, view.minutes) == ("Covers", "at dawn", 1)
    assert today(house.context, HOME).checklist[0].title == "Covers"
    before = today(house.context, HOME).earlier
    assert before is not None
    assert day_on(house.context, HOME, before).checklist[0].title == "The bed"


def test_an_adjustment_that_changes_nothing_writes_nothing() -> None:
    house = House().begun()
    steps.adjust(house.context, HOME, "bed", {"minutes": 2})
    assert house.written() == []


def test_settling_is_adjusted_in_the_courses_own_numbers_whatever_the_pace() -> None:
    house = House().begun(pace="gentle")
    view = steps.adjust(house.context, HOME, "bed", {"settles": {"kept": 1, "of": 2}})
    assert (view.settles_kept, view.settles_of) == (2, 3)


@pytest.mark.parametrize(
    "changes", [{"after": []}, {"waits": False}, {"why": "x"}, {"title": ""}, {"minutes": "5"}]
)
def test_what_cannot_be_adjusted_is_refused(changes: dict[str, object]) -> None:
    house = House().begun()
    with pytest.raises(Malformed):
        steps.adjust(house.context, HOME, "bed", changes)
    assert house.written() == []


def test_a_step_is_set_aside_and_restored_once_each() -> None:
    house = House().begun()
    for _ in range(2):
        assert steps.set_aside(house.context, HOME, "bed").state == "set-aside"
    assert today(house.context, HOME).checklist == ()
    for _ in range(2):
        assert steps.restore(house.context, HOME, "bed").state == "practising"
    assert house.written() == ["1 set-aside bed", "1 restore bed"]


def test_a_step_to_come_can_be_set_aside_and_says_so() -> None:
    house = House().begun()
    view = steps.set_aside(house.context, HOME, "lamp")
    assert (view.state, view.can) == ("set-aside", ("restore", "adjust"))


def test_the_next_step_can_be_wished_for_once_each() -> None:
    house = House().begun()
    for _ in range(2):
        steps.take_next(house.context, HOME, "job")
    assert house.written() == ["1 next job"]
    assert "next" not in path.step(house.context, HOME, "job").can
    assert "next" in path.step(house.context, HOME, "lamp").can


def test_a_step_that_has_come_or_is_set_aside_cannot_be_next() -> None:
    house = House().begun()
    with pytest.raises(NotEditable, match=r"The bed has come already, on 4 January 2027."):
        steps.take_next(house.context, HOME, "bed")
    steps.set_aside(house.context, HOME, "lamp")
    with pytest.raises(NotEditable, match=r"The lamp is set aside. Restore it first."):
        steps.take_next(house.context, HOME, "lamp")


@pytest.mark.parametrize("do", [steps.set_aside, steps.restore, steps.take_next])
def test_a_step_nobody_has_is_refused(do: Callable[[Context, str, str], object]) -> None:
    house = House().begun()
    with pytest.raises(Unknown, match=r"There is no step “attic” here. The path shows all there are."):
        do(house.context, HOME, "attic")
    with pytest.raises(Unknown, match="There is no step “attic” here"):
        steps.adjust(house.context, HOME, "attic", {"minutes": 2})


def test_the_path_shows_where_every_step_stands_and_what_comes_next() -> None:
    house = House().begun()
    house.mark(1, "bed")
    shown = path.path(house.context, HOME)
    assert {step.step: step.state for step in shown.steps} == {
        "bed": "practising",
        "cups": "ahead",
        "job": "ahead",
        "lamp": "ahead",
    }
    assert {step.step: step.needs for step in shown.steps if step.needs} == {
        "cups": "Comes after The bed.",
        "job": "Comes after The bed.",
        "lamp": "Comes after The cups.",
    }
    assert shown.next == "cups"
    assert [step.step for step in shown.steps] == [step.id for step in SMALL.steps]


def test_a_steps_page_has_a_dot_for_each_of_its_latest_14_outcomes() -> None:
    house = House().begun()
    for day in range(1, 21):
        house.at(day)
        house.mark(day, "bed", "missed" if day == 10 else "kept")
    house.at(21)
    view = path.step(house.context, HOME, "bed")
    assert [outcome.outcome for outcome in view.recent] == ["kept"] * 3 + ["missed"] + ["kept"] * 10
    assert (view.kept, view.due) == (19, 20)
    low, high = view.strength_range
    assert low < view.strength < high


def test_a_steps_lessons_come_one_a_day() -> None:
    house = House().begun()
    numbers = []
    for day in (1, 2, 3):
        house.at(day)
        numbers.append(len(path.step(house.context, HOME, "bed").lessons))
    assert numbers == [1, 2, 2]
    assert path.step(house.context, HOME, "lamp").lessons == ()
