"""What the JSON interface takes for dinners, favourites, shopping, dues, to-dos and the quick line."""

import datetime as dt
from typing import Annotated

from fastapi import Path
from pydantic import AfterValidator, Field

from coach.desk.answers import QuickKindName, ToDoKindName
from coach.desk.due_rows import TypedDue
from coach.desk.quick import TypedQuick
from coach.desk.rules.dues import AMOUNT_LENGTH, DAYS_NEEDED, MOST_DAYS_NEEDED
from coach.kitchen.answers import KindName
from coach.kitchen.dinner_rows import USUAL_TIME, TypedDinner
from coach.kitchen.dishes import TypedDish, TypedFrozen
from coach.kitchen.rules.dinner import COOKING_MINUTES, MOST_COOKING
from coach.kitchen.shopping import MOST_DAYS, USUAL_DAYS
from coach.kitchen.shopping_answers import TickName
from coach.web.api.habits.bodies import Body, Id, Text, Title, one_line

On = Annotated[dt.date, Path(description="A date, ISO 8601.", examples=["2027-01-25"])]
DueId = Annotated[str, Path(description="The due's id, as in `dues`.", pattern=r"^[0-9-]{10,20}$")]
ToDoId = Annotated[str, Path(description="The to-do's id.", pattern=r"^[0-9-]{10,20}$")]
FavouriteId = Annotated[str, Path(description="As in `favourites`.", pattern=r"^[a-z0-9-]{1,80}$")]

Days = Annotated[int, Field(ge=1, le=MOST_DAYS, description="How many days to shop for, today included.")]
OneLine = Annotated[Text, AfterValidator(one_line)]
Time = Annotated[str, Field(max_length=5, description="HH:MM by the kitchen's clock.", examples=["18:30"])]


class FrozenBody(Body):
    """Something of a dish that lies in the freezer."""

    name: Text
    weight: Text = Field(description="In kg or lb, shown as it is written here.", examples=["1.4 kg"])
    kind: KindName = "other"


class DishBody(Body):
    """A dish."""

    dish: Text
    ingredients: list[OneLine] = Field([], max_length=100, description="Lines such as `400 g rice`.")
    frozen: list[FrozenBody] = Field([], max_length=20)
    cooking: Annotated[int, Field(ge=0, le=MOST_COOKING, description="Minutes it cooks.")] = COOKING_MINUTES

    def typed(self) -> TypedDish:
        """The dish as the services take it."""
        frozen = tuple(TypedFrozen(item.name, item.weight, item.kind) for item in self.frozen)
        return TypedDish(self.dish, "\n".join(self.ingredients), frozen, str(self.cooking))


class DinnerBody(DishBody):
    """A dish at a time."""

    time: Time = USUAL_TIME

    def dinner(self) -> TypedDinner:
        """The dinner as the services take it."""
        return TypedDinner(self.typed(), self.time)


class FavouriteBody(Body):
    """A favourite, to be put on a date."""

    favourite: Id
    time: Time = USUAL_TIME


class LeftBody(Body):
    """Whether a frozen item has left the freezer."""

    left: bool


class TickBody(Body):
    """A tick on the shopping list."""

    key: str = Field(min_length=1, max_length=300, description="The line's `key`.")
    tick: TickName | None = Field(description="Null takes the line's ticks back.")
    days: Days = USUAL_DAYS


class DueBody(Body):
    """A due."""

    name: Text
    on: dt.date = Field(description="Its date, or the first of those on which it repeats.")
    repeats: Text | None = Field(
        None, description="RFC 5545: DAILY, WEEKLY, MONTHLY or YEARLY, no COUNT or UNTIL; none: once."
    )
    needs: Annotated[int, Field(ge=0, le=MOST_DAYS_NEEDED, description="Days needed before.")] = DAYS_NEEDED
    amount: Annotated[str, Field(max_length=AMOUNT_LENGTH)] | None = Field(
        None, description="As it is to be shown."
    )

    def typed(self) -> TypedDue:
        """The due as the services take it."""
        return TypedDue(
            self.name, self.on.isoformat(), self.repeats or "", str(self.needs), self.amount or ""
        )


class ToDosBody(Body):
    """Things to do, all of one kind."""

    titles: list[Title] = Field(description="One or more, each on one line; at most 200 at once.")
    kind: ToDoKindName = "open"
    place: Text | None = Field(None, description="Where errands lead.")


class ToDoBody(Body):
    """What changes about a to-do; keys that are left out stay as they are."""

    title: OneLine | None = None
    kind: ToDoKindName | None = None
    place: Text | None = None


class QuickBody(Body):
    """A quick line as it was said back, and perhaps mended."""

    kind: QuickKindName
    title: OneLine
    on: dt.date | None = None
    place: Text | None = None

    def typed(self) -> TypedQuick:
        """The line as the services take it."""
        on = self.on.isoformat() if self.on else ""
        return TypedQuick(self.kind, self.title, on, self.place or "")
