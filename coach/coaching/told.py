"""What is told of a group's steps: by version, beside all that was told before, which is kept."""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, NamedTuple

from coach.coaching.rules.counts import Count, entered
from coach.coaching.rules.hiding import Telling, telling
from coach.coaching.rules.telling import told_of
from coach.ground.groups import BY_NAME

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from coach.coaching.rules.telling import Told
    from coach.ground.ports import Context
    from coach.ground.spells import Ended

NAME = "stops"
"""What tables of where people stop are kept under."""


class Part(NamedTuple):
    """One step of one version: everybody's spell with it is in one part alone."""

    digest: str
    step: str


History = dict[Part, list["Told"]]
"""Everything that was told of each part, the oldest first."""


@dataclass(frozen=True, slots=True)
class Known:
    """What a coach may know of a part.

    Attributes:
        part: The part.
        named: The spells of households that share by name, which the coach sees one by one.
        telling: What is told of those that are counted alone.
    """

    part: Part
    named: tuple[Count, ...]
    telling: Telling

    @property
    def table(self) -> Told | None:
        """What is told of those that are counted."""
        return self.telling.table

    @property
    def spells(self) -> int:
        """How many spells are known."""
        return entered(self.named) + (self.table.entered if self.table else 0)

    @property
    def last(self) -> int:
        """The last day of any of them; 0 where none has one."""
        return max([self.table.last if self.table else 0, *(count.days for count in self.named)])

    def counts(self, last: int) -> list[Count]:
        """All of them as estimates take them, up to the last day that an estimate is made of."""
        return [*self.named, *(self.table.counts(last) if self.table else ())]


def sunday_of(day: date) -> date:
    """The latest Sunday whose night is over on a date."""
    return day - timedelta(days=day.isoweekday())


def known(context: Context, group: str, ended: Sequence[Ended], as_of: date) -> list[Known]:
    """What may be told of a group as of a Sunday; what is told for the first time is kept."""
    with context.store.coaching_reading() as reading:
        kept = reading.published(group, NAME)
    found = _known_beside(context, group, kept, ended, as_of)
    if not any(one.telling.is_new for one in found):
        return found
    with context.store.coaching_writing() as writing:
        # Somebody else may have been told something meanwhile.
        kept = writing.published(group, NAME)
        found = _known_beside(context, group, kept, ended, as_of)
        new = [one for one in found if one.telling.is_new]
        if new:
            writing.publish(group, NAME, as_of, _with(dict(kept).get(as_of), new))
    return found


def _known_beside(
    context: Context, group: str, kept: Sequence[tuple[date, str]], ended: Sequence[Ended], as_of: date
) -> list[Known]:
    """The same beside what was told, out of memory while nothing is other than it was."""
    depends_on = (as_of, hash(tuple(ended)), hash(tuple(kept)))
    return context.memo.get(("stops", group), depends_on, lambda: _known(_history(kept), ended, as_of))


def _known(history: History, ended: Sequence[Ended], as_of: date) -> list[Known]:
    counted: defaultdict[tuple[str, str], list[Count]] = defaultdict(list)
    named: defaultdict[tuple[str, str], list[Count]] = defaultdict(list)
    for digest, step, days, ending, level, households in ended:
        lot = named if level == BY_NAME else counted
        lot[digest, step].append(Count(days, ending, households))
    parts = sorted(Part(*part) for part in {*counted, *named, *history})
    return [_one(part, tuple(named[part]), counted[part], history.get(part, []), as_of) for part in parts]


def _one(
    part: Part, named: tuple[Count, ...], counted: Sequence[Count], earlier: Sequence[Told], as_of: date
) -> Known:
    return Known(part, named, telling(counted, as_of, earlier))


def _history(kept: Sequence[tuple[date, str]]) -> History:
    found: defaultdict[Part, list[Told]] = defaultdict(list)
    for as_of, content in kept:
        for digest, steps in json.loads(content).items():
            for step, tables in steps.items():
                found[Part(digest, step)].extend(told_of(as_of, table) for table in tables)
    return dict(found)


def _with(content: str | None, new: Sequence[Known]) -> str:
    """What was told as of a Sunday, with what is told of it beside that."""
    found: dict[str, dict[str, list[Mapping[str, object]]]] = json.loads(content) if content else {}
    for one in new:
        if one.table is not None:
            tables = found.setdefault(one.part.digest, {}).setdefault(one.part.step, [])
            tables.append(one.table.to_json())
    return json.dumps(found, separators=(",", ":"), sort_keys=True)
