"""What the JSON interface takes for dues, to-dos and the quick line."""

from typing import Annotated

from fastapi import Path
from pydantic import Field

from coach.desk.answers import (
    AMOUNT_LENGTH,
    DAYS_NEEDED,
    MOST_DAYS_NEEDED,
    QuickKindName,
    ToDoKindName,
)
from coach.desk.dues import TypedDue
from coach.desk.quick import TypedQuick
from coach.web.api.fields import WHOLE, Body, ClockTime, Name, OneLine, OnOneLine, ShortName, Text
from coach.web.dates import IsoDate

DueId = Annotated[str, Path(description="The due's id, as in `dues`.", pattern=r"^[0-9-]{10,20}$")]
ToDoId = Annotated[str, Path(description="The to-do's id.", pattern=r"^[0-9-]{10,20}$")]


DaysNeeded = Annotated[int, Field(ge=0, le=MOST_DAYS_NEEDED, description="Days needed before."), WHOLE]


class DueBody(Body):
    """A due."""

    name: ShortName
    on: IsoDate = Field(description="Its date, or the first of those on which it repeats.")
    repeats: Text | None = Field(
        None, description="RFC 5545: DAILY, WEEKLY, MONTHLY or YEARLY, no COUNT or UNTIL; none: once."
    )
    needs: DaysNeeded | None = Field(
        None, description=f"Days needed before; none: {DAYS_NEEDED}, or 0 with a time."
    )
    amount: Annotated[str, Field(max_length=AMOUNT_LENGTH), OnOneLine()] | None = Field(
        None, description="As it is to be shown."
    )
    time: ClockTime | None = Field(None, description="HH:MM by the household's clock, of an appointment.")

    def typed(self) -> TypedDue:
        """The due as its use case takes it."""
        return TypedDue(
            name=self.name,
            on=self.on.isoformat(),
            repeats=self.repeats or "",
            needs="" if self.needs is None else str(self.needs),
            amount=self.amount or "",
            time=self.time or "",
        )


class ToDosBody(Body):
    """Things to do, all of one kind."""

    titles: list[Name] = Field(
        max_length=20_000,
        description="One or more, each on one line; at most 200 at once.",
        json_schema_extra={"minItems": 1, "maxItems": 200},
    )
    kind: ToDoKindName = "open"
    place: OneLine | None = Field(None, description="Where errands lead.")


class ToDoBody(Body):
    """What changes about a to-do; keys that are left out stay as they are."""

    title: ShortName | None = None
    kind: ToDoKindName | None = None
    place: OneLine | None = None


class QuickBody(Body):
    """A quick line as it was said back, and perhaps mended."""

    kind: QuickKindName
    title: ShortName
    on: IsoDate | None = None
    time: ClockTime | None = Field(None, description="HH:MM, beside a date.")
    place: OneLine | None = None

    def typed(self) -> TypedQuick:
        """The line as its use case takes it."""
        on = self.on.isoformat() if self.on else ""
        return TypedQuick(self.kind, self.title, on, self.place or "", self.time or "")
