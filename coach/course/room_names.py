"""What a room is, told by its name; and the faults of words and names between kinds of rooms."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from itertools import accumulate, chain
from typing import TYPE_CHECKING

from coach.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from coach.course.rooms import RoomKind

OWN_ROOM = "own room"
"""The kind that has these words among its own is what “Robin's room” means."""

_QUOTES = "'’‘ʼ`´"  # noqa: RUF001  as people type them
_APOSTROPHES = dict.fromkeys(map(ord, _QUOTES))
_NOT_A_WORD = re.compile(r"[\W_]+|(?<=[^\W\d])(?=\d)|(?<=\d)(?=[^\W\d])")
_SOMEBODYS = re.compile(rf"(?:\w[{_QUOTES}]s|s[{_QUOTES}])\s+rooms?\b", re.IGNORECASE)
_PLURALS = (("ies", "y"), ("ches", "ch"), ("shes", "sh"), ("xes", "x"), ("ss", "ss"), ("s", ""))


def kind_of(room: str, kinds: Iterable[RoomKind]) -> RoomKind | None:
    """The kind of room a name means: the one whose longest word or phrase stands in the name, or none.

    Only whole words count, and words may be written as one or apart: a “living-room” is a “livingroom”. Case,
    accents, punctuation, figures, plurals and the shape of apostrophes do not count. Of phrases of the same
    length the one that stands later in the name wins: in English it is what the room is. A name with words of
    every kind that another one joins means that one, and somebody's room is the kind known as `OWN_ROOM`.
    """
    kinds = tuple(kinds)
    found = list(_found(room, kinds))
    if not found:
        return _somebodys(room, kinds)
    named = {kind.id for _, _, kind in found}
    both = (kind for kind in kinds if kind.joins and named.issuperset(kind.joins))
    return next(both, None) or max(found, key=lambda one: one[:2])[2]


def _found(room: str, kinds: Iterable[RoomKind]) -> Iterator[tuple[int, int, RoomKind]]:
    """Every word or phrase that stands in a name: its length, where it ends, and its kind."""
    places = _places(bare(room))
    for kind in kinds:
        for phrase in chain([kind.title], kind.words):
            said = "".join(bare(phrase))
            if said in places:
                yield len(said), places[said], kind


def _places(name: Sequence[str]) -> dict[str, int]:
    """Every run of words in a name, written as one, and where it ends for the last time."""
    runs = ((start, accumulate(name[start:])) for start in range(len(name)))
    return {said: start + end for start, said_on in runs for end, said in enumerate(said_on, 1)}


def _somebodys(room: str, kinds: Iterable[RoomKind]) -> RoomKind | None:
    if not _SOMEBODYS.search(room):
        return None
    return next((kind for kind in kinds if OWN_ROOM in kind.words), None)


@lru_cache(maxsize=2048)
def bare(text: str) -> tuple[str, ...]:
    """The words of a text in small plain letters, each for one of its kind: `bathroom` for “Bathrooms”."""
    plain = unicodedata.normalize("NFKD", text.translate(_APOSTROPHES)).casefold()
    letters = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return tuple(map(_one_of, filter(None, _NOT_A_WORD.split(letters))))


def _one_of(word: str) -> str:
    """A word that stands for several things as the word for one of them."""
    for ending, one in _PLURALS:
        if word.endswith(ending) and len(word) > len(ending):
            return word.removesuffix(ending) + one
    return word


def faults_between(kinds: Sequence[tuple[str, RoomKind]]) -> Iterator[Fault]:
    """Words that two kinds claim, and kinds that are named and not there; each comes with its file's name."""
    known = {kind.id for _, kind in kinds}
    for file, kind in kinds:
        for joined in kind.joins:
            if joined not in known:
                yield Fault(file, None, f"“joins” names “{joined}”, and no kind of room has that id")
    owners: dict[str, str] = {}
    for file, kind in kinds:
        for word in kind.words:
            owner = owners.setdefault("".join(bare(word)), file)
            if owner != file:
                yield Fault(file, None, f"the word “{word}” is taken by {owner}; leave it to one of the two")
