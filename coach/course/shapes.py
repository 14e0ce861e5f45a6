"""The shapes of values read from JSON, to be checked before they are used."""

from __future__ import annotations

from typing import Any

Shape = Any
"""A type; None; a tuple of shapes, one of which it has; a list with one shape, which all its items have, or
with one for each of its items; a dictionary of shapes by key, or from `str` to that of all its values."""

UNREADABLE = (ValueError, TypeError, LookupError, AttributeError, ArithmeticError, RecursionError)
"""What reading a value raises that is not what it should be; beside `Malformed`, which says so itself."""


def fits(value: object, shape: Shape) -> bool:
    """Whether a value has a shape. True and False are no numbers, and a whole number is no float."""
    if isinstance(shape, type):
        return type(value) is shape
    if isinstance(shape, tuple):
        return any(fits(value, one) for one in shape)
    if isinstance(shape, list):
        return isinstance(value, list) and _items_fit(value, shape)
    if isinstance(shape, dict):
        return isinstance(value, dict) and _fit(value, shape)
    return value is shape


def _items_fit(value: list[object], shape: list[Shape]) -> bool:
    if len(shape) == 1:
        return all(fits(one, shape[0]) for one in value)
    return len(value) == len(shape) and all(map(fits, value, shape))


def _fit(value: dict[str, object], shape: dict[Any, Shape]) -> bool:
    if str in shape:
        return all(fits(one, shape[str]) for one in value.values())
    return all(key in value and fits(value[key], part) for key, part in shape.items())


def required(value: object, shape: Shape) -> None:
    """Refuse a value that has another shape.

    Raises:
        TypeError: It has.
    """
    if not fits(value, shape):
        raise TypeError("The value does not have the shape it should have.")
