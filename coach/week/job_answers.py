"""What the services of weekday jobs answer: plain values that pages and JSON render alike."""

# Pydantic reads these annotations at run time; `dt.date` is not mistaken for the field `date`.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.ground.cautions import CautionView
from coach.habits.answers import MarkName, StateName

LineState = Literal["done", "later"]


@dataclass(frozen=True, slots=True)
class JobLineView:
    """One line of a job in its open occurrence.

    Attributes:
        line: Its id.
        state: `done`, `later` if it was left for the next time, or none.
        left_on: The date of the earlier occurrence at which it was left, if it has not been done since.
    """

    line: str
    title: str
    minutes: int
    state: LineState | None
    left_on: dt.date | None


@dataclass(frozen=True, slots=True)
class TimerView:
    """A job's timer at this moment.

    Attributes:
        ends_at: The instant at which time is up; `ends_text` is the same on the household's clock.
        seconds_left: For a page to go on from; none before the start.
    """

    state: Literal["ready", "running", "over"]
    stop_after: int
    started_at: dt.datetime | None
    ends_at: dt.datetime | None
    ends_text: str | None
    minutes_left: int | None
    seconds_left: int | None


@dataclass(frozen=True, slots=True)
class Job:
    """A weekday job as it stands today.

    Attributes:
        today: The household's date, for marking it.
        state: Where the step stands, or `ahead` if it has not come.
        needs: In words, what it waits for; empty if nothing.
        open_since: The date its open occurrence fell on; none if nothing is open.
        open_until: The last date on which that can be done.
        next: The date on which it comes next, after the open occurrence.
        mark: Today's mark.
        lines: In the household's order; empty for a job without lines.
        done: How many lines are ticked.
        lines_minutes: Minutes of all lines together.
        own_lines: Whether the household has changed them.
        timer: None where the job has no end.
    """

    step: str
    title: str
    cue: str | None
    small: str | None
    minutes: int
    repeats_text: str
    caution: CautionView | None
    today: dt.date
    state: StateName
    needs: str
    open_since: dt.date | None
    open_until: dt.date | None
    next: dt.date | None
    mark: MarkName | None
    lines: tuple[JobLineView, ...]
    done: int
    lines_minutes: int
    own_lines: bool
    stop_after: int | None
    timer: TimerView | None
