"""Starter lists: for each kind of room the tasks a household can begin with, and the words it is known by."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING, Any

from coach.course.definition import MINUTES_A_DAY
from coach.course.file_names import id_of
from coach.course.file_text import decoded
from coach.course.keys import MOST, Check, Found, filled_text, list_of, said, table_faults, whole
from coach.course.toml_text import read_toml
from coach.errors import Fault, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

EXTENSION = ".toml"
TASK_KEYS: dict[str, Check] = {
    "title": filled_text,
    "minutes": whole(1, MINUTES_A_DAY),
    "every_days": whole(1, MOST),
    "source": filled_text,
    "caution": filled_text,
}
_NOT_A_WORD = re.compile(r"[^\w]+")
_APOSTROPHES = dict.fromkeys(map(ord, "'’‘ʼ`´"))  # noqa: RUF001  as people type them


@dataclass(frozen=True, slots=True)
class RoomTask:
    """One task of a starter list.

    Attributes:
        minutes: Minutes it takes.
        every_days: It is done at most once in so many days, where an authority gives an interval.
        source: The authority.
        caution: A key of the cautions.
    """

    title: str
    minutes: int
    every_days: int | None = None
    source: str | None = None
    caution: str | None = None


@dataclass(frozen=True, slots=True)
class RoomKind:
    """A kind of room.

    Attributes:
        id: The name of its file without number and ending.
        words: What a room of this kind may be called.
        detail: Detail tasks in order.
        declutter: Declutter tasks in order.
        beside: The kind of room it is best taken together with, or none.
    """

    id: str
    title: str
    words: tuple[str, ...]
    detail: tuple[RoomTask, ...]
    declutter: tuple[RoomTask, ...] = ()
    beside: str | None = None

    @property
    def minutes(self) -> int:
        """Minutes of all its detail tasks."""
        return sum(task.minutes for task in self.detail)


def _tasks(keys: Mapping[str, Check]) -> Check:
    def faults(path: str, value: object) -> Found:
        if not isinstance(value, list):
            yield path, f"“{path}” needs tables headed [[{path}]], not {said(value)}"
            return
        for number, task in enumerate(value, 1):
            place = f"{path}.{number}"
            yield from table_faults(keys, place, task, ("title", "minutes"), ROOM_KEYS)
            with_interval = isinstance(task, Mapping) and "every_days" in keys.keys() & task.keys()
            if with_interval and "source" not in task:
                reason = (
                    f"“{place}.every_days” needs a “source” beside it: the authority that names the interval"
                )
                yield f"{place}.every_days", reason

    return faults


ROOM_KEYS: dict[str, Check] = {
    "title": filled_text,
    "words": list_of(filled_text),
    "beside": filled_text,
    "detail": _tasks(TASK_KEYS),
    "declutter": _tasks({key: TASK_KEYS[key] for key in ("title", "minutes", "caution")}),
}


def is_room_file(file: str) -> bool:
    """Whether a file of that name is read: it ends in `.toml` and is not hidden."""
    return file.endswith(EXTENSION) and not file.startswith(".")


def room_kind(file: str, content: bytes) -> RoomKind:
    """Read one file of starter lists.

    Raises:
        FaultyFile: Something is wrong with it; all faults are named.
    """
    toml = read_toml(decoded(file, content), file)
    found = table_faults(ROOM_KEYS, "", toml.table, required=("title", "words", "detail"))
    faults = [Fault(file, toml.line_of(path), reason) for path, reason in found]
    if faults:
        raise FaultyFile(tuple(faults))
    values: Mapping[str, Any] = toml.table
    return RoomKind(
        id=id_of(file.removesuffix(EXTENSION)),
        title=values["title"],
        words=tuple(values["words"]),
        detail=tuple(RoomTask(**task) for task in values["detail"]),
        declutter=tuple(RoomTask(**task) for task in values.get("declutter", ())),
        beside=values.get("beside"),
    )


def faults_between(kinds: Sequence[tuple[str, RoomKind]]) -> Iterator[Fault]:
    """Words that two kinds claim, and kinds that are named and not there; each comes with its file's name."""
    known = {kind.id for _, kind in kinds}
    for file, kind in kinds:
        if kind.beside is not None and kind.beside not in known:
            yield Fault(file, None, f"“beside” names “{kind.beside}”, and no kind of room has that id")
    owners: dict[tuple[str, ...], str] = {}
    for file, kind in kinds:
        for word in kind.words:
            owner = owners.setdefault(_words(word), file)
            if owner != file:
                yield Fault(file, None, f"the word “{word}” is taken by {owner}; leave it to one of the two")


def kind_of(room: str, kinds: Iterable[RoomKind]) -> RoomKind | None:
    """The kind of room a name means: the one whose longest word or phrase stands in the name, or none.

    Only whole words count; case, accents, punctuation and the shape of apostrophes do not. Of phrases of the
    same length the one that stands later in the name wins: in English it is what the room is.
    """
    name = _words(room)
    found = [
        (sum(map(len, phrase)), place, kind)
        for kind in kinds
        for phrase in {_words(word) for word in chain([kind.title], kind.words)}
        if (place := _place(phrase, name)) is not None
    ]
    return max(found, key=lambda one: one[:2])[2] if found else None


def _words(text: str) -> tuple[str, ...]:
    plain = unicodedata.normalize("NFKD", text.translate(_APOSTROPHES)).casefold()
    bare = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return tuple(word for word in _NOT_A_WORD.split(bare.replace("_", " ")) if word)


def _place(phrase: Sequence[str], name: Sequence[str]) -> int | None:
    """Where a phrase ends in a name, the last time it stands there; None if it does not."""
    places = range(len(name) - len(phrase), -1, -1)
    return next((at + len(phrase) for at in places if phrase and name[at : at + len(phrase)] == phrase), None)
