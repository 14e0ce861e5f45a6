"""The coach's counts over several databases, one after the other; what cannot be asked is named."""

from __future__ import annotations

from collections import Counter
from itertools import chain, islice, zip_longest
from typing import TYPE_CHECKING, TypeVar, cast

from coach.errors import StoreError

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence
    from datetime import date

    from coach.ground.coaching import Counting
    from coach.ground.groups import Enrolment
    from coach.ground.spells import Ended, Paced, SeenHousehold, Spell, Weeks

T = TypeVar("T")


class SpreadCounting:
    """Counts of every database that can be reached, each as of its own instant.

    Args:
        opening: What opens each of them, by its name.

    Attributes:
        missing: The names of those that could not be asked so far.
    """

    def __init__(self, opening: Mapping[str, Callable[[], object]]) -> None:
        self._opening = opening
        self._opened: dict[str, Counting] = {}
        self.missing: tuple[str, ...] = ()
        self._each(lambda _: ())

    def enrolments(self, group: str) -> Sequence[Enrolment]:
        """The households of a group, in the order in which they came."""
        found = self._each(lambda one: one.enrolments(group))
        return sorted(chain(*found), key=_came)

    def seen(self, group: str, day: date) -> Sequence[SeenHousehold]:
        """Those that may be seen on a date, counted or by name, with what is saved of their days."""
        found = self._each(lambda one: one.seen(group, day))
        return sorted(chain(*found), key=lambda one: _came(one.enrolment))

    def ended(self, group: str, day: date) -> Sequence[Ended]:
        """Spells of those that may be seen on a date, put together as they stood on the last Sunday."""
        together: Counter[Ended] = Counter()
        for one in chain(*self._each(lambda one: one.ended(group, day))):
            together[one._replace(households=0)] += one.households
        return sorted(one._replace(households=number) for one, number in together.items())

    def paced(self, group: str, day: date, step: str) -> Sequence[Paced]:
        """A step's spells of those that may be seen on a date, put together by pace, as of last Sunday."""
        together: Counter[Paced] = Counter()
        for one in chain(*self._each(lambda one: one.paced(group, day, step))):
            together[one._replace(households=0)] += one.households
        return sorted(one._replace(households=number) for one, number in together.items())

    def weeks(self, group: str, day: date) -> Sequence[Weeks]:
        """The weeks of those that may be seen on a date, put together, in the order of their starts."""
        together: Counter[Weeks] = Counter()
        for one in chain(*self._each(lambda one: one.weeks(group, day))):
            together[one._replace(households=0)] += one.households
        found = [one._replace(households=number) for one, number in together.items()]
        return sorted(found, key=lambda one: one[:-1])

    def spells(self, households: Collection[str]) -> Sequence[tuple[str, Spell]]:
        """The spells of some households, with whose each is, in the order of households and dates."""
        found = self._each(lambda one: one.spells(households))
        return sorted(chain(*found), key=lambda one: (one[0], one[1].entered_on, one[1].step))

    def behind(self, through: date, most: int) -> Sequence[str]:
        """Households whose saved days end before a date, of each database the oldest first, in turn."""
        found = self._each(lambda one: one.behind(through, most))
        in_turn = (one for some in zip_longest(*found) for one in some if one is not None)
        return list(islice(in_turn, most))

    def lingering(self, day: date, most: int) -> Sequence[str]:
        """Households of which days are saved, though they may not be seen any more on a date."""
        return sorted(chain(*self._each(lambda one: one.lingering(day, most))))[:most]

    def _each(self, ask: Callable[[Counting], Sequence[T]]) -> list[Sequence[T]]:
        """What every database answers that can be asked."""
        found: list[Sequence[T]] = []
        for name, begin in self._opening.items():
            if name in self.missing:
                continue
            try:
                if name not in self._opened:
                    self._opened[name] = cast("Counting", begin())
                found.append(ask(self._opened[name]))
            except StoreError:
                # What was answered before stays as it was told; from now on it counts no more.
                self.missing = tuple(sorted({*self.missing, name}))
        return found


def _came(enrolment: Enrolment) -> tuple[object, str]:
    return enrolment.joined_at, enrolment.household
