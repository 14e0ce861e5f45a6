"""What is answered when a ticked sheet cannot be entered, since others have marked its lines."""

# Pydantic reads these annotations at run time; `dt.date` is not mistaken for the field `date`.
import datetime as dt
from dataclasses import dataclass

from coach.habits.answers import MarkName


@dataclass(frozen=True, slots=True)
class SheetClash:
    """Another one's newer mark, which was left as it is when a sheet was entered.

    Attributes:
        mark: What stands; none: the mark was taken back.
        by: The person who made it; empty: the household alone.
        name: What they are called; empty for the household alone and for somebody who has left.
        at: When it was tapped, in the household's zone.
    """

    date: dt.date
    step: str
    title: str
    mark: MarkName | None
    by: str
    name: str
    at: dt.datetime
