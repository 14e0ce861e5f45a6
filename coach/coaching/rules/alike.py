"""Questions that say much the same, put together by the words they share: a suggestion, and often wrong."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

SHARED = 0.5
"""Two questions are alike from here on: twice the words they share, by the words of both (Dice, 1945)."""

FEWEST = 2
"""So many words have to be shared, since one alone says little."""

BEGINNING = 5
"""Letters of a word that are compared, so that “counts” and “counting” are one."""

SHORTEST = 3
"""Letters of a word that is compared at all."""

_PLAIN = """about also and any are because been but can could did does doing for from had has have how into
its just may might must not our out shall she should that the their them then there they this was were
what when where which who why will with would you your"""
PLAIN = frozenset(_PLAIN.split())
"""Words that stand in any question and say nothing of what it is about."""

_WORD = re.compile(r"[^\W_]+")

_PLURALS = (
    (re.compile(r"(?<=[^\W_]{2})(?<![ae])ies$"), "y"),
    (re.compile(r"(?:(?<=x)|(?<=[cs]h)|(?<=ss))es$"), ""),
    (re.compile(r"(?<=[^\W_]{3})(?<![us])s$"), ""),
)
"""How English writes several of a thing, and what is left of that for one; the first that fits is taken. The
first and the last are Harman's (How effective is suffixing?, 1991), with the letters they leave alone,
and leave short words as they are; the one between is spelling's, as in “boxes” and “dishes”."""


@dataclass(frozen=True, slots=True)
class Said:
    """A question as it is compared.

    Attributes:
        id: Its key.
        text: What was asked.
        together: The key of the one it was put together with by hand; empty: none.
        apart: Whether it was said that it stands by itself.
    """

    id: str
    text: str
    together: str = ""
    apart: bool = False


@dataclass(slots=True)
class _Pile:
    """Questions that lie together; what is suggested is compared with the first of them."""

    about: frozenset[str]
    ids: list[str] = field(default_factory=list)
    takes: bool = True


def words(text: str) -> frozenset[str]:
    """The beginnings of the words that say what a question is about."""
    plain = unicodedata.normalize("NFKC", text).casefold()
    found = (word for word in _WORD.findall(plain) if len(word) >= SHORTEST and word not in PLAIN)
    return frozenset(_one_of(word)[:BEGINNING] for word in found)


def _one_of(word: str) -> str:
    """A word as it is written of one thing, as far as its ending tells; an ending is taken off once."""
    for ending, instead in _PLURALS:
        if ending.search(word):
            return ending.sub(instead, word)
    return word


def are_alike(one: frozenset[str], other: frozenset[str]) -> bool:
    """Whether two questions share enough of their words."""
    shared = len(one & other)
    return shared >= FEWEST and 2 * shared >= SHARED * (len(one) + len(other))


def piles(asked: Iterable[Said]) -> tuple[tuple[str, ...], ...]:
    """The questions in piles of alike ones, in the order in which they were asked.

    What was put together by hand lies together. One that stands by itself is joined to none and joined by
    none, unless by hand. Of the others each comes to the first pile whose first question is alike.
    """
    made: list[_Pile] = []
    of: dict[str, _Pile] = {}
    by_hand: list[Said] = []
    those = list(asked)
    known = {one.id for one in those}
    for one in those:
        if one.together in known and one.together != one.id:
            by_hand.append(one)
        else:
            of[one.id] = _placed(one, made)
    _join(by_hand, of, made)
    return tuple(tuple(pile.ids) for pile in made)


def _placed(one: Said, made: list[_Pile]) -> _Pile:
    """The pile that a question comes to by itself, which is made where there is none."""
    about = words(one.text)
    pile = None if one.apart else next((p for p in made if p.takes and are_alike(p.about, about)), None)
    if pile is None:
        pile = _Pile(about, takes=not one.apart)
        made.append(pile)
    pile.ids.append(one.id)
    return pile


def _join(by_hand: Sequence[Said], of: dict[str, _Pile], made: list[_Pile]) -> None:
    """Put what was put together by hand where it belongs; of a ring the first one stands by itself."""
    waiting = list(by_hand)
    while waiting:
        ready = [one for one in waiting if one.together in of]
        for one in ready or waiting[:1]:
            waiting.remove(one)
            pile = of.get(one.together)
            if pile is None:
                of[one.id] = _placed(Said(one.id, one.text, apart=True), made)
            else:
                pile.ids.append(one.id)
                of[one.id] = pile
