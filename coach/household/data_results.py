"""What the services answer about a household's data: what is here beside what would take its place."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two.

    Attributes:
        rows: Rows of the log.
        days: Dates with a mark.
        marks: Marks that hold.
        steps: Steps with a mark that holds.
        first: The date of its first row.
        last: The date of its last row.
        plan: What is planned: how many values hold; none where the plan stays as it is.
    """

    rows: int
    days: int
    marks: int
    steps: int
    first: dt.date | None
    last: dt.date | None
    plan: int | None


@dataclass(frozen=True, slots=True)
class Alone:
    """What stands on one side alone.

    Attributes:
        rows: Rows of the log.
        marks: Those of them that set a mark or take it back.
        days: How many dates these have.
        first: The first of the dates.
        last: The last of them.
        plan: What is planned and stands so on this side alone; none where the plan stays as it is.
    """

    rows: int
    marks: int
    days: int
    first: dt.date | None
    last: dt.date | None
    plan: int | None


@dataclass(frozen=True, slots=True)
class Comparison:
    """What is here now beside what would take its place.

    Attributes:
        now: What is here; none before the household's start.
        file: What would take its place.
        same: Rows in both.
        lost: What is here alone, and would go.
        gained: What would come.
        seen: The version of what is here; it grows with every change.
    """

    now: Side | None
    file: Side
    same: int
    lost: Alone
    gained: Alone
    seen: int
