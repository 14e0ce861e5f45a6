"""What the use cases of the week and its jobs answer: plain values that pages and JSON render alike."""

# Pydantic reads these annotations at run time; `dt.date` is not mistaken for the field `date`.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.desk.answers import DueDateView, SeenToView
from coach.ground.cautions import CautionView
from coach.ground.offers import Offer
from coach.ground.parts import PartName
from coach.habits.answers import MarkName, StateName

WeekdayName = Literal["MO", "TU", "WE", "TH", "FR", "SA", "SU"]
ClosedName = Literal["kept", "small", "missed", "excused", "forgotten"]
RestName = Literal["away", "lapsed", "before-start", "no-day"]
LineState = Literal["done", "later"]


@dataclass(frozen=True, slots=True)
class DueStep:
    """A step due on a date.

    Attributes:
        minutes: Minutes it adds to the date; none for area time where the area has minutes of its own.
        since: The date it was due on.
        closed: How that occurrence closed, or its mark today; `forgotten` is without an outcome (a pause,
            a return, another day chosen). None while it is open or still to come.
        closed_on: The date on which it closed.
        days: The dates of the week it could be moved to.
        held: Whether it can be moved from tomorrow on only, being due and marked today.
        days_text: For a step that comes on several days of a week but not daily: its rule in words. It is not
            moved; its own page changes its days.
        works_in: The part of the home plan it works in, if it does.
    """

    step: str
    title: str
    minutes: int
    since: dt.date
    closed: ClosedName | None = None
    closed_on: dt.date | None = None
    days: tuple[dt.date, ...] = ()
    held: bool = False
    days_text: str | None = None
    works_in: PartName | None = None


@dataclass(frozen=True, slots=True)
class WeekDay:
    """One date of a week.

    Attributes:
        past: Whether it lies before today.
        rest: Why nothing is due: `away`, `lapsed`, `before-start`, or `no-day` for a date that never happens
            in the household's zone.
        habits: The steps due that fall more often than weekly.
        habit_minutes: Their minutes together.
        habits_kept: How many of them are kept.
        jobs: The weekday jobs due.
        earlier: Jobs due before this date: those marked on it, and today those still open.
        area_minutes: Minutes of the week's area.
        minutes: All minutes due on the date; jobs of earlier dates were counted on theirs.
        available: Minutes the household has; none on past days and where it has not said.
        overload: Minutes beyond those available.
        overload_text: The overload in words, where there is one.
        can_wait: Jobs of an overloaded day that may be done later, the longest first.
        dues: The dues of the date not seen to, in the order of their times.
        seen_to: Those that are.
    """

    date: dt.date
    weekday: WeekdayName
    past: bool
    today: bool
    rest: RestName | None
    habits: tuple[DueStep, ...]
    habit_minutes: int
    habits_kept: int
    jobs: tuple[DueStep, ...]
    earlier: tuple[DueStep, ...]
    area_minutes: int
    minutes: int
    available: int | None
    overload: int
    overload_text: str | None
    can_wait: tuple[str, ...]
    dues: tuple[DueDateView, ...]
    seen_to: tuple[SeenToView, ...]


@dataclass(frozen=True, slots=True)
class MovedJob:
    """A job that was moved, with its rule in words and the date on which it comes next."""

    step: str
    title: str
    repeats_text: str
    next: dt.date | None


@dataclass(frozen=True, slots=True)
class MemberMinutes:
    """Minutes of the lines that a member marked kept or small in a week.

    Attributes:
        person: Their key; empty: nobody said who it was.
        name: What they are called; empty too then.
    """

    person: str
    name: str
    minutes: int


@dataclass(frozen=True, slots=True)
class Week:
    """A week with everything due in it.

    Attributes:
        week: Its name in ISO 8601's form.
        editable: Whether it is the current week or one to come.
        earlier: The name of the week before, if there is one to look at.
        later: The name of the week after.
        lapsed: Whether the list waits to be taken up, so that the coming days may hold less than is shown.
        days: Its seven dates.
        available: Minutes the household has on each weekday, Monday first.
        moved: What was moved last and can be undone.
        by_member: Where two or more live, whose minutes were marked, in the order in which they joined.
    """

    week: str
    first: dt.date
    last: dt.date
    current: bool
    editable: bool
    earlier: str | None
    later: str | None
    lapsed: bool
    days: tuple[WeekDay, ...]
    available: dict[WeekdayName, int | None]
    moved: tuple[MovedJob, ...]
    by_member: tuple[MemberMinutes, ...]


@dataclass(frozen=True, slots=True)
class DayMinutes:
    """A date's minutes beside those available."""

    date: dt.date
    weekday: WeekdayName
    minutes: int
    available: int | None
    overload: int
    overload_text: str | None


@dataclass(frozen=True, slots=True)
class Load:
    """The minutes of a week's dates; of a proposal, from today on.

    Attributes:
        overload: Minutes beyond those available, over all dates.
        heaviest: Minutes of the heaviest date.
    """

    week: str
    overload: int
    heaviest: int
    days: tuple[DayMinutes, ...]


@dataclass(frozen=True, slots=True)
class Move:
    """A job that balance would move to another date of the week, with the rule it would have."""

    step: str
    title: str
    minutes: int
    on: dt.date
    to: dt.date
    repeats: str
    repeats_text: str


@dataclass(frozen=True, slots=True)
class Balance:
    """What balance proposes for a week; nothing changes until it is accepted.

    Attributes:
        proven: Whether it is known to be the best there is; if not, the search was ended early.
        text: In a sentence, what it would bring.
    """

    week: str
    moves: tuple[Move, ...]
    before: Load
    after: Load
    proven: bool
    text: str


@dataclass(frozen=True, slots=True)
class Available:
    """Minutes available on each weekday, Monday first; none where the household has not said."""

    minutes: dict[WeekdayName, int | None]


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
        works_in: The part of the home plan it works in, if it does.
        offers: The job's mark, once every line is done or left and it has none.
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
    works_in: PartName | None
    offers: Offer | None
