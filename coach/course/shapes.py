"""The shapes of values read from JSON, to be checked before they are used."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from math import prod
from operator import itemgetter
from types import NoneType
from typing import Any

Described = Any
"""A type; None; a tuple of shapes, one of which it has; a list with one shape, which all its items have, or
with one for each of its items; a dictionary of shapes by key, or from `str` to that of all its values."""

MOST_WAYS = 256
"""So many ways in which the types of a dictionary's plain values can go together are laid down beforehand."""

Shape = Callable[[Any], bool]
"""Whether a value has a shape."""

UNREADABLE = (ValueError, TypeError, LookupError, AttributeError, ArithmeticError, RecursionError)
"""What reading a value raises that is not what it should be; beside `Malformed`, which says so itself."""


def shape(described: Described) -> Shape:
    """The shape that is described. True and False are no numbers, and a whole number is no float.

    It is made once and asked often: what a household kept for ten years is looked at with every tap, so lists
    are asked for the types of all their items at once.
    """
    types = _types(described)
    if types is not None:
        return lambda value: type(value) in types
    if isinstance(described, tuple):
        ways = [shape(one) for one in described]
        return lambda value: any(way(value) for way in ways)
    if isinstance(described, list):
        return _list(described)
    return _dictionary(described)


def _types(described: Described) -> frozenset[type] | None:
    """The types a value may have, if nothing more is asked of it."""
    one_of = described if isinstance(described, tuple) else (described,)
    if all(one is None or isinstance(one, type) for one in one_of):
        return frozenset(NoneType if one is None else one for one in one_of)
    return None


def _list(described: list[Described]) -> Shape:
    if len(described) != 1:
        parts = [shape(one) for one in described]
        return lambda value: (
            type(value) is list
            and len(value) == len(parts)
            and all(part(one) for part, one in zip(parts, value, strict=True))
        )
    items = _items(described[0])
    return lambda value: type(value) is list and items(value)


def _items(described: Described) -> Shape:
    """Whether all items of a list have a shape."""
    types = _types(described)
    if types is not None:
        return lambda value: types.issuperset(map(type, value))
    columns = [_types(one) for one in described] if isinstance(described, list) and len(described) > 1 else []
    if columns and None not in columns:
        return _rows(columns)  # type: ignore[arg-type]  # there is no None among them
    item = shape(described)
    return lambda value: all(map(item, value))


def _rows(columns: list[frozenset[type]]) -> Shape:
    """Whether all items of a list are lists with values of these types."""
    places = [itemgetter(place) for place in range(len(columns))]

    def fit(value: list[Any]) -> bool:
        if not ({list}.issuperset(map(type, value)) and {len(columns)}.issuperset(map(len, value))):
            return False
        return all(
            types.issuperset(map(type, map(at, value))) for types, at in zip(columns, places, strict=True)
        )

    return fit


def _dictionary(described: dict[Any, Described]) -> Shape:
    if str in described:
        item = shape(described[str])
        return lambda value: type(value) is dict and all(map(item, value.values()))
    plain = {key: types for key, part in described.items() if (types := _types(part)) is not None}
    if not len(plain) > 1 or prod(map(len, plain.values())) > MOST_WAYS:
        plain = {}
    parts = [(key, shape(part)) for key, part in described.items() if key not in plain]
    at, ways = (itemgetter(*plain) if plain else lambda _: ()), frozenset(product(*plain.values()))

    def fit(value: Any) -> bool:  # noqa: ANN401  whatever JSON holds
        if not (type(value) is dict and plain.keys() <= value.keys() and tuple(map(type, at(value))) in ways):
            return False
        return all(key in value and part(value[key]) for key, part in parts)

    return fit


def required(value: object, fits: Shape) -> None:
    """Refuse a value that has another shape.

    Raises:
        TypeError: It has.
    """
    if not fits(value):
        raise TypeError("The value does not have the shape it should have.")
