"""The pace of a course: what a household may choose, and what it chose."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.progress.log import Row

STANDARD = "standard"
"""The pace of who chose none, and of a household whose pace a new version of its course no longer has."""


def checked_pace(name: str, paces: Iterable[str]) -> str:
    """The same name if the course has a pace of it.

    Raises:
        Malformed: It has none.
    """
    offered = tuple(paces)
    if name not in offered:
        raise Malformed(f"There is no pace “{name}”. Choose one of: {', '.join(offered)}.")
    return name


def named_pace(row: Row) -> str:
    """The pace a `pace` row names; only with its course can be said whether there is one of that name.

    Raises:
        Malformed: It names none.
    """
    if not row.value:
        raise Malformed(f"A row of “{row.what}” has to name a pace of the course, such as {STANDARD}.")
    return row.value
