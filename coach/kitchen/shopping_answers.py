"""What the shopping services answer: plain values for pages and JSON alike."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

TickName = Literal["at-home", "in-basket"]


@dataclass(frozen=True, slots=True)
class ShoppingItem:
    """One line of the list.

    Attributes:
        key: What a tick for it names: the ingredient's words and unit.
        text: Amount, unit and words, those of several dinners added up.
        dinners: The dishes it is for.
        dates: Their dates.
        tick: Whether it is at home or in the basket already; none while it is to be bought.
    """

    key: str
    text: str
    dinners: tuple[str, ...]
    dates: tuple[dt.date, ...]
    tick: TickName | None


@dataclass(frozen=True, slots=True)
class Shopping:
    """The shopping list of the coming days.

    Attributes:
        days: How many, today included; `first` and `last` are the dates.
        to_buy: What is neither at home nor in the basket.
        in_basket: What was ticked in the shop.
        at_home: What was ticked as at home.
        planned: How many dinners are planned on these days.
        text: What is to be bought as plain text, to be shared.
    """

    days: int
    first: dt.date
    last: dt.date
    to_buy: tuple[ShoppingItem, ...]
    in_basket: tuple[ShoppingItem, ...]
    at_home: tuple[ShoppingItem, ...]
    planned: int
    text: str
