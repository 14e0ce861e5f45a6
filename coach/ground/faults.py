"""Faults of what a person typed, each with the field it stands beside."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import islice
from typing import TYPE_CHECKING

from coach.errors import MOST_NAMED, Malformed

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class FieldFault:
    """What is wrong with one field, as a sentence that says how to mend it."""

    field: str
    reason: str

    def within(self, part: str) -> FieldFault:
        """The same fault in a part of a larger form."""
        return replace(self, field=f"{part}-{self.field}")


class Unfit(Malformed):
    """Fields that cannot be used; nothing was written.

    Attributes:
        faults: What is wrong, in the order of the form: the first of it.
        more: How many faults there are besides these.
    """

    def __init__(self, faults: Iterable[FieldFault]) -> None:
        those = iter(faults)
        self.faults = tuple(islice(those, MOST_NAMED))
        self.more = sum(1 for _ in those)
        rest = [f"And {self.more} more."] if self.more else []
        super().__init__(" ".join([*dict.fromkeys(fault.reason for fault in self.faults), *rest]))
