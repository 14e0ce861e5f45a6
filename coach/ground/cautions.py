"""Cautions as they stand beside a task, with their source."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.ground.ports import Library


@dataclass(frozen=True, slots=True)
class CautionView:
    """A caution to stand beside a task, with its source."""

    key: str
    title: str
    text: str
    source: str


def caution_view(library: Library, key: str | None) -> CautionView | None:
    """The caution of that key, if there is one."""
    caution = library.cautions().get(key) if key else None
    return CautionView(caution.key, caution.title, caution.text, caution.source) if caution else None


def caution_views(library: Library, keys: Iterable[str | None]) -> tuple[CautionView, ...]:
    """The cautions of some keys, each once, in the order in which they are first named."""
    found = (caution_view(library, key) for key in dict.fromkeys(keys))
    return tuple(one for one in found if one is not None)
