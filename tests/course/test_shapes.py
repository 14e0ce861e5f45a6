"""Values out of JSON have the shape they should have, or are refused."""

from __future__ import annotations

from typing import Any

import pytest

from coach.course.shapes import required, shape

A_TASK = [str, int, (int, None)]


@pytest.mark.parametrize(
    ("value", "described"),
    [
        ("a", str),
        (1, int),
        (None, None),
        (None, (str, None)),
        (2.5, (int, float)),
        ([], [str]),
        (["a", "b"], [str]),
        (["a", 1, None], A_TASK),
        ([["a", 1, 2]], [A_TASK]),
        ({"a": 1, "more": 2}, {"a": int}),
        ({}, {str: int}),
        ({"b": None, "a": 1, "c": ["x"]}, {"a": int, "b": (str, None), "c": [str]}),
        ({"a": 1, "b": "x"}, {"a": int, "b": (str, None)}),
        ({"a": {"b": "c"}}, {str: {str: str}}),
        ([["a", 1, None], ["b", 2, 3]], [A_TASK]),
        ([], [A_TASK]),
        ([{"a": 1}], [{"a": int}]),
        ([1, None], [(int, None)]),
        ([[1], []], [[int]]),
        ([["a"]], ([[str]], None)),
    ],
)
def test_it_fits(value: object, described: Any) -> None:  # noqa: ANN401  a shape has no type of its own
    assert shape(described)(value)


@pytest.mark.parametrize(
    ("value", "described"),
    [
        (1, str),
        (True, int),
        (1, bool),
        (1, float),
        (0, None),
        (1, (str, None)),
        ("ab", [str]),
        (["a", 1], [str]),
        (["a", 1], A_TASK),
        (["a", 1, None, 2], A_TASK),
        ([], A_TASK),
        ({}, {"a": int}),
        ({"a": 1}, {"a": int, "b": (str, None)}),
        ({"a": 1, "b": 2}, {"a": int, "b": (str, None)}),
        ({"a": True, "b": None}, {"a": int, "b": (str, None)}),
        ({"a": 1, "b": None, "c": [1]}, {"a": int, "b": (str, None), "c": [str]}),
        ({"a": "1"}, {"a": int}),
        ([], {"a": int}),
        ({"a": 1}, {str: str}),
        ("a", {str: str}),
        ([["a", 1, None], ["b", 2]], [A_TASK]),
        ([["a", 1, None], ["b", "2", 3]], [A_TASK]),
        ([["a", 1, None], "abc"], [A_TASK]),
        ([["a", True, None]], [A_TASK]),
        ([1, "1"], [(int, None)]),
        ([[1], ["1"]], [[int]]),
        ([["a"], None], ([[str]], None)),
        ([{"a": 1}, {}], [{"a": int}]),
    ],
)
def test_it_does_not_fit(value: object, described: Any) -> None:  # noqa: ANN401  a shape has no type of its own
    assert not shape(described)(value)
    with pytest.raises(TypeError):
        required(value, shape(described))
