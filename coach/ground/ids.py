"""Ids of things a household writes down: the date and a number, so that they sort as they came."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date


def free_ids(today: date, taken: Iterable[str]) -> Iterator[str]:
    """Ids of a date that nothing has, in order."""
    prefix = f"{today:%Y%m%d}-"
    numbers = [int(one.removeprefix(prefix)) for one in taken if one.startswith(prefix)]
    number = max(numbers, default=0)
    while True:
        number += 1
        yield f"{prefix}{number:04d}"
