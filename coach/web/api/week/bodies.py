"""What the JSON interface takes about the week and its jobs."""

from typing import Annotated

from pydantic import Field

from coach.web.api.fields import WEEK_NAME, WHOLE, Body, Id, Minutes, Part, Words
from coach.web.dates import IsoDate
from coach.week.answers import LineState, WeekdayName

Date = Annotated[IsoDate, Field(examples=["2027-02-04"])]
Occurrence = Annotated[
    IsoDate | None, Field(description="The date of the occurrence that is meant; none: the open one.")
]


class MoveBody(Body):
    """A job moved to another day."""

    on: Date = Field(description="A date on which it falls.")
    to: Date = Field(description="Another date of the same week.")


class AcceptBody(Body):
    """A proposal accepted."""

    week: Annotated[str, Field(max_length=20, json_schema_extra=WEEK_NAME)] | None = Field(
        None, description="Its week, as proposed; none: the current one."
    )
    moves: dict[Id, IsoDate] = Field(
        max_length=50, description="For each job that moves, the date it moves to.", examples=[{}]
    )


class AvailableBody(Body):
    """Minutes available; weekdays left out stay as they are, null takes a number away."""

    minutes: dict[WeekdayName, Minutes | None] = Field(examples=[{"SA": 90}])


class LineBody(Part):
    """One line of a job."""

    line: Annotated[str, Field(max_length=20)] | None = Field(None, description="Its id; none: a new line.")
    title: Words
    minutes: Minutes


class LinesBody(Body):
    """A job's lines, all of them and in order, and its end."""

    lines: list[LineBody] = Field(max_length=100)
    stop_after: Annotated[int, Field(ge=1, le=1440), WHOLE] | None = Field(
        None, description="Minutes after which the job ends; none: it has no end."
    )


class TickBody(Body):
    """A line ticked, or left for the next time."""

    state: LineState = "done"
    on: Occurrence = None


class TimerBody(Body):
    """A timer started."""

    on: Occurrence = None
