"""A step's keys: what is refused and why, what is read, and what a household can change."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.course.definition import adjusted, id_fault, step_faults, step_from
from coach.course.model import Lesson, Line, Settles, Slot, Step
from coach.errors import Malformed

STEP = Step("bed", "Make the bed", cue="after getting up", small="One tug", slot=Slot.MORNING)


def test_a_title_is_enough() -> None:
    lesson = Lesson("Today", "Words.")
    assert step_from("bed", {"title": "Make the bed"}, (lesson,)) == Step(
        "bed", "Make the bed", lessons=(lesson,)
    )


def test_every_reason_is_given_at_once() -> None:
    with pytest.raises(Malformed) as raised:
        step_from("a bed", {"minutes": True, "slot": "noon", "colour": "red"})
    assert str(raised.value).count("; ") >= 4
    for part in ("“a bed” cannot be a step's id", "“minutes”", "“slot”", "“colour”", "“title” is missing"):
        assert part in str(raised.value)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("title", ""),
        ("title", "a\0b"),
        ("title", "\ud800"),
        ("title", None),
        ("why", 3),
        ("slot", None),
        ("slot", ["morning"]),
        ("minutes", 1.0),
        pytest.param("minutes", 10**5000, id="a number of 5000 digits"),
        ("minutes", -1),
        ("repeats", "FREQ=YEARLY"),
        ("repeats", None),
        ("after", ["a", ""]),
        ("after", {"a": 1}),
        ("settles", {"kept": 2}),
        ("settles", {"kept": 3, "of": 2}),
        ("settles", None),
        ("waits", 0),
        ("stop_after", 0),
        ("lines", [{"title": "Dust"}]),
    ],
)
def test_a_value_that_cannot_be_used_is_a_fault_of_its_key(key: str, value: object) -> None:
    faults = step_faults({"title": "A step", "repeats": "FREQ=WEEKLY", key: value})
    assert [path.split(".")[0] for path, _ in faults] == [key]


def test_none_stands_for_no_text_and_for_no_end() -> None:
    definition = dict.fromkeys(("why", "cue", "small", "caution", "stop_after")) | {"title": "A step"}
    assert step_from("step", definition) == Step("step", "A step")


@pytest.mark.parametrize("rule", ["FREQ=WEEKLY", "FREQ=DAILY;INTERVAL=7", "FREQ=MONTHLY;BYDAY=MO"])
def test_a_step_that_falls_weekly_or_less_often_may_have_lines(rule: str) -> None:
    definition = {
        "title": "Rooms",
        "repeats": rule,
        "lines": [{"title": "Dust", "minutes": 5}],
        "stop_after": 9,
    }
    step = step_from("rooms", definition)
    assert (step.lines, step.stop_after) == ((Line("Dust", 5),), 9)


@pytest.mark.parametrize("rule", ["FREQ=DAILY", "FREQ=WEEKLY;BYDAY=MO,TH", "FREQ=DAILY;INTERVAL=6"])
def test_a_step_that_falls_more_often_may_not(rule: str) -> None:
    assert [key for key, _ in step_faults({"title": "Rooms", "repeats": rule, "stop_after": 9})] == [
        "stop_after"
    ]


def test_an_adjustment_changes_what_it_names_and_nothing_else() -> None:
    changes = {"title": "Bed", "cue": None, "minutes": 3, "settles": {"kept": 1, "of": 2}, "slot": "evening"}
    assert adjusted(STEP, changes) == Step(
        "bed", "Bed", small="One tug", slot=Slot.EVENING, minutes=3, settles=Settles(1, 2)
    )
    assert adjusted(STEP, {}) == STEP


@pytest.mark.parametrize(
    "changes", [{"why": "x"}, {"after": []}, {"id": "x"}, {"waits": False}, {"title": None}, {"minutes": "3"}]
)
def test_an_adjustment_of_anything_else_is_refused(changes: dict[str, object]) -> None:
    with pytest.raises(Malformed, match=f"“{next(iter(changes))}”"):
        adjusted(STEP, changes)


@pytest.mark.parametrize("step_id", ["bed-made", "a", "7", "Bed_made.2", "x" * 80])
def test_ids_that_files_and_addresses_can_hold(step_id: str) -> None:
    assert id_fault(step_id) is None


@pytest.mark.parametrize("step_id", ["", "..", "-a", "a b", "a/b", "café", "a\n", "x" * 81, "<b>", "a,b"])
def test_ids_that_they_cannot(step_id: str) -> None:
    assert id_fault(step_id) is not None


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=5,
)
KEYS = st.sampled_from(["title", "why", "slot", "minutes", "repeats", "after", "settles", "lines", "x"])


@given(st.dictionaries(KEYS, JSON))
def test_any_json_is_either_a_step_or_refused(definition: dict[str, object]) -> None:
    if step_faults(definition):
        with pytest.raises(Malformed):
            step_from("step", definition)
    else:
        assert step_from("step", definition).title == definition["title"]


def test_only_an_adjusted_rule_may_have_a_beginning_of_its_own() -> None:
    begun = "DTSTART:20270107 RRULE:FREQ=WEEKLY;INTERVAL=2;BYDAY=TH"
    assert adjusted(STEP, {"repeats": begun}).repeats == begun
    ((key, reason),) = step_faults({"title": "A step", "repeats": begun})
    assert (key, "DTSTART is not allowed" in reason) == ("repeats", True)


@pytest.mark.parametrize(
    "rule",
    [
        "DTSTART:20270230 RRULE:FREQ=WEEKLY",
        "DTSTART:20270107 RRULE:FREQ=WEEKLY;COUNT=3",
        "DTSTART:20270107 FREQ=WEEKLY",
        "DTSTART:20270107 RRULE:DTSTART:20270107 RRULE:FREQ=WEEKLY",
    ],
)
def test_a_beginning_that_cannot_be_used_is_refused(rule: str) -> None:
    with pytest.raises(Malformed, match="“repeats” cannot be used"):
        adjusted(STEP, {"repeats": rule})
