"""What the boxes of a sheet say when it is entered, as texts by name.

| box of | is named | says |
|---|---|---|
| a daily line | `2027-02-01/bed-made` | `kept` |
| a job | `job/2027-02-03/dry-round` | `kept@2027-02-04`, with the date on which it was done |
| a task | `task/t5` | `@2027-02-05` |
| a due | `due/2027-02-03/rent` | `seen-to` |

An empty one says nothing. In a tick a date may be the name of a field in which it was chosen.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, get_args

from coach.errors import Malformed
from coach.ground.wording import long_date
from coach.habits.answers import MarkName
from coach.paper.entering import Entry
from coach.progress.days import iso_date

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

SEEN_TO = "seen-to"
MARK_NAMES: tuple[MarkName, ...] = get_args(MarkName)
UNREADABLE = "This form cannot be read, so nothing was entered. Open the page anew and tick the boxes there."


def ticked(ticks: Iterable[str], chosen: Iterable[str]) -> dict[str, str]:
    """What the ticked boxes say, by name, each with the date that was chosen for it.

    Raises:
        Malformed: One of them is no name with what it says.
    """
    dates = dict(_parts(one) for one in chosen)
    found = dict(_parts(one) for one in ticks)
    return {name: _dated(text, dates) for name, text in found.items()}


def _parts(text: str) -> tuple[str, str]:
    name, _, said = text.partition("=")
    if not said:
        raise Malformed(UNREADABLE)
    return name, said


def _dated(text: str, dates: Mapping[str, str]) -> str:
    mark, at, place = text.partition("@")
    return f"{mark}{at}{dates.get(place, place)}"


def entry_of(now: Mapping[str, str], wanted: Mapping[str, str]) -> Entry:
    """What is entered so that boxes say what they are to say.

    Args:
        now: What they say, by name.
        wanted: What they are to say.

    Raises:
        Malformed: A name or a text is none of a sheet's.
    """
    entry = _Entry()
    for name, text in wanted.items():
        was = now.get(name, "")
        if text != was:
            entry.take(name, was, text)
    return Entry(entry.marks, entry.tasks, entry.dues)


@dataclass
class _Entry:
    """What is entered, as it is gathered box by box."""

    marks: dict[date, dict[str, MarkName | None]] = field(default_factory=lambda: defaultdict(dict))
    tasks: dict[tuple[date, str], bool] = field(default_factory=dict)
    dues: set[tuple[date, str]] = field(default_factory=set)

    def take(self, name: str, was: str, text: str) -> None:
        """Take in a box that is to say another thing than it does."""
        place, _, key = name.partition("/")
        if place == "job":
            self._done(_dated_key(key)[1], was, text)
        elif place == "task":
            self.tasks |= {(chosen_date(one), key): one == text for one in (was, text) if one}
        elif place == "due":
            self.dues |= {_dated_key(key)} if text == SEEN_TO else set()
        else:
            on, step = _dated_key(name)
            self.marks[on][step] = _mark(text) if text else None

    def _done(self, step: str, was: str, text: str) -> None:
        if was:
            self.marks[chosen_date(was)][step] = None
        if text:
            self.marks[chosen_date(text)][step] = _mark(text.partition("@")[0])


def _dated_key(key: str) -> tuple[date, str]:
    on, _, rest = key.partition("/")
    return _date(on), rest


def _date(text: str) -> date:
    try:
        return iso_date(text)
    except Malformed:
        raise Malformed(UNREADABLE) from None


def _mark(text: str) -> MarkName:
    for name in MARK_NAMES:
        if name == text:
            return name
    raise Malformed(UNREADABLE)


def chosen_date(text: str) -> date:
    """The date that a box says.

    Raises:
        Malformed: It says none.
    """
    return _date(text.partition("@")[2])


def words(marks: Mapping[str, str], name: str, text: str) -> str:
    """What a box says, in words."""
    if not text:
        return "Nothing"
    mark, _, at = text.partition("@")
    said = {"task": "Finished", "due": "Seen to"}.get(name.partition("/")[0]) or marks.get(mark, mark)
    return f"{said}, {long_date(_date(at))}" if at else said
