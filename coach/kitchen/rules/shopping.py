"""The shopping list: lines of coming dinners and lines written on it, the same things merged (home rules)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from coach.course.keys import is_blank
from coach.course.keys import text as text_faults
from coach.errors import Malformed
from coach.kitchen.rules.amounts import added, ingredient_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from coach.kitchen.rules.amounts import Ingredient
    from coach.kitchen.rules.dinner import Dinner

Tick = Literal["at-home", "in-basket"]
TICKS = ("at-home", "in-basket")
MOST_AT_ONCE = 100
"""Lines that are written on the list at once."""
LINE_LENGTH = 200
"""Characters of a line."""


@dataclass(frozen=True, slots=True)
class FreeLine:
    """A line that somebody wrote on the list.

    Attributes:
        entered: The date it was written down.
        tick: Whether it is at home or in the basket already, with the amount it says.
    """

    id: str
    text: str
    entered: date
    tick: Tick | None = None


@dataclass(frozen=True, slots=True)
class ShoppingLine:
    """One thing on the list.

    Attributes:
        key: What a tick for it names.
        text: Its amounts, added as far as they can be, and its name.
        dinners: The dinners it is for, by date.
        written: The lines that somebody wrote for it.
    """

    key: str
    text: str
    dinners: tuple[Dinner, ...]
    written: tuple[FreeLine, ...] = ()


def shopping_list(dinners: Iterable[Dinner], written: Iterable[FreeLine] = ()) -> tuple[ShoppingLine, ...]:
    """What some dinners need and what was written besides, in the order in which it is needed first.

    Lines are for the same thing when they have the same words after their amounts. Amounts with units of one
    kind are added up; others stand side by side in the one line.

    Args:
        dinners: Those of the days that one shops for.
        written: The lines that somebody wrote.
    """
    wanted: dict[str, list[tuple[Ingredient, Dinner | FreeLine]]] = {}
    for dinner in sorted(dinners, key=lambda dinner: dinner.at):
        for line in dinner.dish.ingredients:
            _want(wanted, line, dinner)
    for free in written:
        _want(wanted, free.text, free)
    return tuple(_merged(key, uses) for key, uses in wanted.items())


def _want(
    wanted: dict[str, list[tuple[Ingredient, Dinner | FreeLine]]], line: str, by: Dinner | FreeLine
) -> None:
    ingredient = ingredient_of(line)
    if ingredient is not None:
        wanted.setdefault(ingredient.key, []).append((ingredient, by))


def _merged(key: str, uses: list[tuple[Ingredient, Dinner | FreeLine]]) -> ShoppingLine:
    by = dict.fromkeys(one for _, one in uses)
    return ShoppingLine(
        key=key,
        text=_text([ingredient for ingredient, _ in uses]),
        dinners=tuple(one for one in by if not isinstance(one, FreeLine)),
        written=tuple(one for one in by if isinstance(one, FreeLine)),
    )


def _text(same: list[Ingredient]) -> str:
    """“1.5 kg and 2 bags rice”; what is wanted without an amount besides is some more."""
    amounts = " and ".join(amount.text for amount in added(one.amount for one in same if one.amount))
    if not amounts:
        return same[0].name
    has_more = any(one.amount is None for one in same)
    return f"{amounts} {same[0].name}{', and some more' if has_more else ''}"


def as_text(lines: Iterable[ShoppingLine]) -> str:
    """The list to be shared, one line each."""
    return "".join(f"- {line.text}\n" for line in lines)


def lines_in(pasted: str) -> tuple[str, ...]:
    """The lines in a pasted text; empty ones and list signs are left out.

    Raises:
        Malformed: There is none, there are too many at once, or one of them cannot be kept.
    """
    lines = (line.strip().lstrip("-*•").strip() for line in pasted.splitlines())
    return checked_lines([line for line in lines if not is_blank(line)], "Write one thing on each line.")


def checked_lines(lines: Sequence[str], hint: str = "Name one thing at least.") -> tuple[str, ...]:
    """Lines for the list, each kept as it is but for its spaces.

    Args:
        lines: One for each thing.
        hint: What to do where there is none.

    Raises:
        Malformed: There is none, there are too many at once, or one of them cannot be kept.
    """
    if not lines:
        raise Malformed(f"There is nothing to write on the list. {hint}")
    if len(lines) > MOST_AT_ONCE:
        raise Malformed(
            f"These are {len(lines):,} lines. Write at most {MOST_AT_ONCE} at once; nothing was added."
        )
    plain = tuple(" ".join(line.split()) for line in lines)
    for number, line in enumerate(plain, 1):
        if fault := _line_fault(line):
            raise Malformed(f"Line {number} {fault}; nothing was added.")
    return plain


def checked_line(text: str) -> str:
    """One line as it is kept.

    Raises:
        Malformed: It cannot be.
    """
    plain = " ".join(text.split())
    if fault := _line_fault(plain):
        raise Malformed(f"The line {fault}.")
    return plain


def _line_fault(line: str) -> str | None:
    if is_blank(line):
        return "says nothing: name what is to be bought"
    if len(line) > LINE_LENGTH:
        return f"has {len(line):,} characters: keep it to {LINE_LENGTH}"
    return "has characters that cannot be shown" if any(text_faults("line", line)) else None
