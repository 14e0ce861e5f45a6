"""What a coach is shown of where people stop; a number that is hidden is None."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Shared:
    """A share of the households that began a step, with its 95 % interval by Wilson's score.

    Attributes:
        ending: How they stand: settled, set aside, lapsed, left, open; or `rest` for what is not told apart.
        households: How many.
        share: The share they are.
        low: The lower end of its interval.
        high: The upper end.
    """

    ending: str
    households: int
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class StepStops:
    """Where people stop in one step.

    Attributes:
        step: The step.
        title: What it is called.
        as_of: The Sunday it is told as of; None: nothing is told.
        entered: Households that began it; None: too few to be told.
        settled: Those of them that settled it.
        set_aside: Those that set it aside.
        lapsed: Those that lapsed with it.
        left: Those that left.
        open: Those that are still at it.
        rest: Households that stand in one of the ways whose number is hidden, in all.
        median: The day by which half have settled, if nobody stopped otherwise.
        median_low: The lower end of its 95 % interval.
        median_high: The upper end.
        incidence: A row for each day that is told: the day, and the shares that had settled, set aside,
            lapsed and left by its end, as far as ten households are at risk.
        shares: How they stand, in parts that are one together; empty below ten households.
        anew: Whether something told before is being counted anew.
        waiting: Whether households that share by name are too few for a number yet; of others, which are
            counted alone, it is not told whether there are any beside the numbers.
    """

    step: str
    title: str
    as_of: dt.date | None
    entered: int | None
    settled: int | None
    set_aside: int | None
    lapsed: int | None
    left: int | None
    open: int | None
    rest: int
    median: int | None
    median_low: int | None
    median_high: int | None
    incidence: tuple[tuple[int, float | None, float | None, float | None, float | None], ...]
    shares: tuple[Shared, ...]
    anew: bool
    waiting: bool


@dataclass(frozen=True, slots=True)
class CourseVersion:
    """A version of the group's course, as far as there are spells of it.

    Attributes:
        version: Its digest.
        since: The date from which on it held in the group; None: from the start.
    """

    version: str
    since: dt.date | None


@dataclass(frozen=True, slots=True)
class Stopping:
    """Where people stop, step by step in the order of the course.

    Attributes:
        group: The group's id.
        name: What it is called.
        as_of: The latest Sunday. On the Monday after it a home may still stand as of the Sunday before.
        version: The version it is about; empty: all together.
        versions: The versions there are, the newest first.
        steps: The steps.
        counted: Whether there is anything to tell: that somebody is counted at all may be one home's choice.
        missing: The databases that could not be asked, so that their households are not in it.
    """

    group: str
    name: str
    as_of: dt.date
    version: str
    versions: tuple[CourseVersion, ...]
    steps: tuple[StepStops, ...]
    counted: bool
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a comparison.

    Attributes:
        label: What it is.
        entered: Households that began the step.
        settled: Those that settled it.
    """

    label: str
    entered: int | None
    settled: int | None


@dataclass(frozen=True, slots=True)
class Comparison:
    """One log-rank test of whether one side settles a step sooner than the other.

    Attributes:
        step: The step.
        title: What it is called.
        sides: Both sides.
        chi_square: With one degree of freedom.
        p: How often chance alone would make a difference as large.
        events: Those that settled it, of both sides; of two paces rounded down to fives.
    """

    step: str
    title: str
    sides: tuple[Side, Side]
    chi_square: float
    p: float
    events: int


@dataclass(frozen=True, slots=True)
class PhasesShown:
    """Where a row's households stood at the end of one of their weeks; a number that is hidden is None.

    Attributes:
        week: The number of the week, 1 for the one that begins with the start.
        ramping: Households that were ramping.
        steady: Those that were steady.
        lapsed: Those that had lapsed.
        rebuilding: Those that were rebuilding.
        paused: Those that were away.
        rest: Those that were in one of the hidden ones, in all.
        households: How many have come so far; None: nothing of this week is told.
        unfinished: Whether others of the row have not, so that it is not to be held against a full week.
    """

    week: int
    ramping: int | None
    steady: int | None
    lapsed: int | None
    rebuilding: int | None
    paused: int | None
    rest: int
    households: int | None
    unfinished: bool


@dataclass(frozen=True, slots=True)
class RowShown:
    """The households that started in one week, from Monday to Sunday.

    Attributes:
        monday: The first day of that week.
        households: How many they are.
        weeks: Each of their weeks since.
    """

    monday: dt.date
    households: int
    weeks: tuple[PhasesShown, ...]


@dataclass(frozen=True, slots=True)
class WeeksShown:
    """A group's households in rows by the week of their start.

    Attributes:
        group: The group's id.
        name: What it is called.
        as_of: The latest Sunday. On the Monday after it a home may still stand as of the Sunday before.
        rows: The rows, the earliest first.
        waiting: Whether households that share by name are in none of them, since they are too few yet.
        missing: The databases that could not be asked, so that their households are not in it.
    """

    group: str
    name: str
    as_of: dt.date
    rows: tuple[RowShown, ...]
    waiting: bool
    missing: tuple[str, ...]
