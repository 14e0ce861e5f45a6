"""A kept state is read back as it was, or not at all."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest

from coach.coaching.demo import tern_street
from coach.coaching.library import find_course
from coach.progress.journal import Version, journal
from coach.progress.kept_state import kept_state
from coach.progress.replay import begin, close_through
from coach.progress.state_form import state_json

THROUGH = date(2027, 1, 31)
COURSE = find_course("three-weeks")


@pytest.fixture(scope="module")
def text() -> str:
    book = journal([Version(date.min, COURSE)], tern_street(COURSE, date(2027, 2, 2)))
    state = begin(book)
    close_through(state, book, THROUGH)
    return state_json(state)


def test_a_sound_one_comes_back(text: str) -> None:
    state = kept_state(text, COURSE, THROUGH)
    assert state is not None
    assert state_json(state) == text


@pytest.mark.parametrize("damaged", ["", "{", "[]", "{}", "null", "7", "[" * 100_000])
def test_what_is_none_does_not(damaged: str) -> None:
    assert kept_state(damaged, COURSE, THROUGH) is None


def test_one_of_another_date_does_not(text: str) -> None:
    assert kept_state(text, COURSE, date(2027, 1, 30)) is None


@pytest.mark.parametrize("other", [None, 7, "x", [], {}, [["x"]], -1.5, True, {"moon": 1}])
def test_a_value_of_another_shape_is_found_wherever_it_stands(text: str, other: Any) -> None:  # noqa: ANN401  any JSON
    values = json.loads(text)
    for key, value in values.items():
        if type(value) is not type(other):
            read = kept_state(json.dumps({**values, key: other}), COURSE, THROUGH)
            # What may be absent may be None.
            assert read is None or (key in {"pause", "ceiling"} and other in {None, 7}), key


@pytest.mark.parametrize("other", [None, 7, "x", [], {}, [["x"]], True])
def test_so_is_one_within_a_record(text: str, other: Any) -> None:  # noqa: ANN401  any JSON
    values = json.loads(text)
    step, record = next(iter(values["records"].items()))
    for key, value in record.items():
        if type(value) is not type(other):
            records = {**values["records"], step: {**record, key: other}}
            read = kept_state(json.dumps({**values, "records": records}), COURSE, THROUGH)
            assert read is None or (key in {"introduced", "settled", "open_since"} and other is None), key


@pytest.mark.parametrize(("key", "other"), [("free", "7"), ("free", None), ("read", -1)])
def test_a_count_that_cannot_be_is_found(text: str, key: str, other: object) -> None:
    values = json.loads(text)
    record = next(iter(values["records"].values()))
    assert kept_state(json.dumps(values), COURSE, THROUGH) is not None
    record[key] = other
    assert kept_state(json.dumps(values), COURSE, THROUGH) is None
