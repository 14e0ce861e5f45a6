"""Checks of the keys a person writes in a file or sends as JSON: each finds every fault of a value."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from typing import TypeGuard

from coach.course.likely import meant_key

Found = Iterator[tuple[str, str]]
Check = Callable[[str, object], Found]
"""Takes a key's path (`hold.over`) and its value; yields the path and the reason of every fault."""

_SAYABLE = 10**15
_KINDS = ((type(None), "nothing"), (Mapping, "a table"), (list | tuple, "a list"))

MOST = 100_000
"""The greatest count or number of days a file may name; more could only be a slip of the pen."""


def table_faults(
    checks: Mapping[str, Check],
    path: str,
    value: object,
    required: Iterable[str] = (),
    outer: Container[str] = (),
) -> Found:
    """Check a table key by key: unknown ones, missing ones, and what is wrong with the values.

    Args:
        checks: The keys that are known, each with its check.
        path: The table's own path; empty for the whole file.
        value: The table.
        required: The keys that have to be there.
        outer: The keys of the file around a table, which are easily written below the table's heading.
    """
    if not isinstance(value, Mapping):
        yield path, f"“{path}” needs a table of keys, not {said(value)}"
        return
    for key, inner in value.items():
        whole_path = f"{path}.{key}" if path else key
        if key in checks:
            yield from checks[key](whole_path, inner)
        else:
            hint = f"; {too_low(key)}" if key in outer else meant_key(key, checks)
            yield whole_path, f"“{whole_path}” is not a key that is known here{hint}"
    for key in required:
        if key not in value:
            whole_path = f"{path}.{key}" if path else key
            yield whole_path, f"“{whole_path}” is missing"


def too_low(key: str) -> str:
    """The end of a sentence about a key of the whole file that stands in a table."""
    return f"“{key}” belongs to none of the tables, so it has to stand above the first line in brackets"


def table(checks: Mapping[str, Check], required: Iterable[str] = (), outer: Container[str] = ()) -> Check:
    """A table with these keys, in a file whose own keys are `outer`."""
    return lambda path, value: table_faults(checks, path, value, required, outer)


def list_of(check: Check) -> Check:
    """A list of such values."""

    def faults(path: str, value: object) -> Found:
        if not isinstance(value, list | tuple):
            yield path, f"“{path}” needs a list, not {said(value)}"
            return
        for inner in value:
            yield from check(path, inner)

    return faults


def optional(check: Check) -> Check:
    """Such a value, or null where JSON has it: none."""
    return lambda path, value: iter(()) if value is None else check(path, value)


# Control characters but for line ends and tabs, and halves of characters: Unicode's categories Cc and Cs.
_NOT_SHOWN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")


def text(path: str, value: object) -> Found:
    """A text that can be shown."""
    if not isinstance(value, str):
        yield path, f"“{path}” needs text in quotes, not {said(value)}"
    elif _NOT_SHOWN.search(value):
        yield path, f"“{path}” has characters in it that cannot be shown"


# Letters and signs by their category, drawn as nothing: Hangul fillers and the braille pattern without dots.
_FILLERS = frozenset("\u115f\u1160\u2800\u3164\uffa0")


def is_blank(words: str) -> bool:
    """Whether nothing can be seen of a text: it is empty, or all spaces, line ends and invisible marks."""
    return all(
        letter.isspace() or letter in _FILLERS or unicodedata.category(letter) in {"Cc", "Cf"}
        for letter in words
    )


def filled_text(path: str, value: object) -> Found:
    """A text that says something."""
    yield from text(path, value)
    if isinstance(value, str) and is_blank(value):
        yield path, f"“{path}” is empty"


def one_of(*names: str) -> Check:
    """One of these words."""

    def faults(path: str, value: object) -> Found:
        if value not in names:
            yield path, f"“{path}” needs one of {', '.join(names)}, not {said(value)}"

    return faults


def whole(least: int, most: int = MOST) -> Check:
    """A whole number between the two; true and false are none."""

    def faults(path: str, value: object) -> Found:
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            yield path, f"“{path}” needs a whole number from {least} to {most}, not {said(value)}"

    return faults


def number(least: float, most: float = MOST, *, more: bool = False) -> Check:
    """A number from `least` to `most`, or more than `least`."""

    def faults(path: str, value: object) -> Found:
        in_limits = is_number(value) and least <= value <= most
        if not in_limits or (more and value == least):
            limits = f"more than {least}, up to {most}" if more else f"from {least} to {most}"
            yield path, f"“{path}” needs a number {limits}, not {said(value)}"

    return faults


def is_number(value: object) -> TypeGuard[int | float]:
    """Whether a value is a number; true and false are none."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def truth(path: str, value: object) -> Found:
    """Either true or false."""
    if not isinstance(value, bool):
        yield path, f"“{path}” needs true or false, not {said(value)}"


def said(value: object) -> str:
    """A value as a sentence can name it."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f"“{shortened(value)}”"
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, int):
        return str(value) if abs(value) < _SAYABLE else "a number with many digits"
    return next((words for kind, words in _KINDS if isinstance(value, kind)), "a date or a time")


def shortened(words: str, most: int = 60) -> str:
    """The words, cut where they grow too long for a sentence."""
    return words if len(words) <= most else f"{words[: most - 3]}..."
