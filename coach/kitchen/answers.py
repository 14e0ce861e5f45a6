"""What the kitchen answers of dinners, favourites and shopping: values that pages and JSON render alike."""

# Pydantic reads these annotations at run time; `dt.date` is not mistaken for the field `date`.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.ground.cautions import CautionView
from coach.ground.clock_times import WallTime
from coach.ground.offers import Offer
from coach.kitchen.rules import dinner

KindName = Literal["poultry", "fish", "ground", "cut", "other"]
# The bounds that the interface tells of.
COOKING_MINUTES, MOST_COOKING = dinner.COOKING_MINUTES, dinner.MOST_COOKING
TickName = Literal["at-home", "in-basket"]
StageName = Literal["early", "refrigerator", "cold-water", "too-late", "left", "over"]


@dataclass(frozen=True, slots=True)
class FrozenLine:
    """Something of a dish that lies in the freezer, with its weight as it was typed."""

    name: str
    weight: str
    kind: KindName


@dataclass(frozen=True, slots=True)
class FrozenView:
    """A frozen item of a dinner, and when it has to leave the freezer, by the kitchen's clock.

    Attributes:
        number: Its place in the dish, from 1.
        weight: As it was typed.
        refrigerator_by: The latest date to move it to the refrigerator.
        not_before: The earliest.
        cold_water_by: The latest time to begin in cold water.
        refrigerator_days: Days it thaws in the refrigerator.
        cold_water_minutes: Minutes it thaws in cold water.
        left_on: The date it left the freezer, once that was said.
        stage: `early`, `refrigerator` (now or by that date), `cold-water` (too late for the refrigerator),
            `too-late` (for both), `left` (it is out already), or `over` (the dinner's time is past).
        text: What to do, in words.
        instead: What else is possible when it is too late.
    """

    number: int
    name: str
    weight: str
    kind: KindName
    refrigerator_by: dt.date
    not_before: dt.date
    cold_water_by: WallTime
    refrigerator_days: int
    cold_water_minutes: int
    left_on: dt.date | None
    stage: StageName
    text: str
    instead: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DinnerView:
    """A dinner.

    Attributes:
        time: HH:MM; a time before the household's day begins is of the following date.
        cooking: Minutes it cooks.
    """

    dish: str
    time: str
    cooking: int
    ingredients: tuple[str, ...]
    frozen: tuple[FrozenView, ...]


@dataclass(frozen=True, slots=True)
class DinnerDay:
    """A date with its dinner, if there is one.

    Attributes:
        editable: Whether it can still be planned: from today on, for a year.
        seen: Names what is planned, so that a form can tell whether it has been changed.
        caution: What to mind while thawing, where something is frozen.
        offers: Of today's date, once it has a dinner: the mark of a step that works in dinner.
    """

    date: dt.date
    today: bool
    editable: bool
    seen: str
    dinner: DinnerView | None
    caution: CautionView | None
    offers: Offer | None


@dataclass(frozen=True, slots=True)
class Favourite:
    """A dish that is kept, to be put on any date."""

    id: str
    dish: str
    cooking: int
    ingredients: tuple[str, ...]
    frozen: tuple[FrozenLine, ...]


@dataclass(frozen=True, slots=True)
class Favourites:
    """The dishes that are kept, by name."""

    favourites: tuple[Favourite, ...]


@dataclass(frozen=True, slots=True)
class Move:
    """Something to move out of the freezer, with the dinner it is for."""

    date: dt.date
    dish: str
    item: FrozenView


@dataclass(frozen=True, slots=True)
class Moves:
    """What has to leave the freezer.

    Attributes:
        today: What today is the latest date for.
        tomorrow: What tomorrow is the latest date for.
        behind: What it is too late for in the refrigerator, or at all.
        caution: What to mind, where there is anything.
    """

    today: tuple[Move, ...]
    tomorrow: tuple[Move, ...]
    behind: tuple[Move, ...]
    caution: CautionView | None


@dataclass(frozen=True, slots=True)
class DinnerWeek:
    """A week's dinners.

    Attributes:
        week: Its name, such as 2027-W05; `earlier` and `later` are those beside it.
        current: Whether it is the week that holds today.
    """

    week: str
    first: dt.date
    last: dt.date
    current: bool
    earlier: str
    later: str
    days: tuple[DinnerDay, ...]
    moves: Moves
    favourites: tuple[Favourite, ...]


@dataclass(frozen=True, slots=True)
class WrittenLine:
    """A line that somebody wrote on the list, as it was typed."""

    id: str
    text: str
    entered: dt.date
    tick: TickName | None


@dataclass(frozen=True, slots=True)
class ShoppingItem:
    """One thing on the list.

    Attributes:
        key: What a tick for it names: its words, without amounts.
        text: Its amounts, added up as far as their units are of one kind, and its words.
        dinners: The dishes it is for.
        dates: Their dates.
        written: The lines that somebody wrote for it.
        tick: Whether it is at home or in the basket already; none while it is to be bought.
    """

    key: str
    text: str
    dinners: tuple[str, ...]
    dates: tuple[dt.date, ...]
    written: tuple[WrittenLine, ...]
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
