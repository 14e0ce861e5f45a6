"""What the JSON interface takes for dinners, favourites and shopping."""

from typing import Annotated

from fastapi import Path
from pydantic import Field

from coach.kitchen.answers import COOKING_MINUTES, MOST_COOKING, KindName, TickName
from coach.kitchen.dinners import USUAL_TIME, TypedDinner
from coach.kitchen.dishes import TypedDish, TypedFrozen
from coach.kitchen.shopping import MOST_DAYS, USUAL_DAYS
from coach.web.api.fields import WHOLE, Body, Id, Name, OneLine, Part, ShortName, YesNo

FavouriteId = Annotated[str, Path(description="As in `favourites`.", pattern=r"^[a-z0-9-]{1,80}$")]

Days = Annotated[int, Field(ge=1, le=MOST_DAYS, description="Days to shop for, today included."), WHOLE]
Cooking = Annotated[int, Field(ge=0, le=MOST_COOKING, description="Minutes it cooks."), WHOLE]
Time = Annotated[
    str,
    Field(
        max_length=5,
        description="HH:MM by the kitchen's clock.",
        examples=["18:30"],
        json_schema_extra={"pattern": "^(([01][0-9]|2[0-3]):[0-5][0-9])?$"},
    ),
]


class FrozenBody(Part):
    """Something of a dish that lies in the freezer."""

    name: ShortName
    weight: OneLine = Field(description="In kg or lb, shown as it is written here.", examples=["1.4 kg"])
    kind: KindName = "other"


class DishBody(Body):
    """A dish."""

    dish: ShortName
    ingredients: list[OneLine] = Field([], max_length=100, description="Lines such as `400 g rice`.")
    frozen: list[FrozenBody] = Field([], max_length=20)
    cooking: Cooking = COOKING_MINUTES

    def typed(self) -> TypedDish:
        """The dish as its use case takes it."""
        frozen = tuple(TypedFrozen(item.name, item.weight, item.kind) for item in self.frozen)
        return TypedDish(self.dish, "\n".join(self.ingredients), frozen, str(self.cooking))


class DinnerBody(DishBody):
    """A dish at a time."""

    time: Time = USUAL_TIME

    def dinner(self) -> TypedDinner:
        """The dinner as its use case takes it."""
        return TypedDinner(self.typed(), self.time)


class FavouriteBody(Body):
    """A favourite, to be put on a date."""

    favourite: Id
    time: Time = USUAL_TIME


class LeftBody(Body):
    """Whether a frozen item has left the freezer."""

    left: YesNo


class TickBody(Body):
    """A tick on the shopping list."""

    key: str = Field(min_length=1, max_length=300, description="The line's `key`.")
    tick: TickName | None = Field(description="Null takes the line's ticks back.")
    days: Days = USUAL_DAYS


class LinesBody(Body):
    """Lines to be written on the shopping list."""

    lines: list[Name] = Field(
        max_length=20_000,
        description="One or more, each on one line; at most 100 at once.",
        json_schema_extra={"minItems": 1, "maxItems": 100},
    )
    days: Days = USUAL_DAYS


class LineBody(Body):
    """A line of the shopping list."""

    text: ShortName = Field(description="An amount if there is one, and what: `500 g rice`.")
