"""What the use cases answer about a day, as pages and JSON render it."""

# Pydantic reads these annotations at run time; `dt.date` is not mistaken for the field `date`.
import datetime as dt
from dataclasses import dataclass, field
from typing import Literal

from coach.ground.cautions import CautionView
from coach.ground.parts import PartName
from coach.habits.notes import Arrived, EmptyDay, Few, Ideas, NewPlace, SettledStep, SlotName, StuckStep

MarkName = Literal["kept", "small", "missed", "excused"]
StateName = Literal["practising", "settled", "resting", "set-aside", "ahead"]
PhaseName = Literal["ramping", "steady", "paused", "lapsed", "rebuilding"]


@dataclass(frozen=True, slots=True)
class LessonView:
    """A lesson as text.

    Attributes:
        step: The step it belongs to, or none for the texts of other days.
        number: Its number among the step's lessons, counted from 1.
    """

    step: str | None
    number: int | None
    title: str
    markdown: str
    html: str


@dataclass(frozen=True, slots=True)
class MarkedBy:
    """Who made a mark.

    Attributes:
        person: Their key; empty: the household alone, on its own machine.
        name: What they are called; empty for the household alone and for somebody who has left.
        at: When it was tapped, in the household's zone.
    """

    person: str
    name: str
    at: dt.datetime


@dataclass(frozen=True, slots=True)
class TakenBy:
    """Who takes a line for the day."""

    person: str
    name: str


@dataclass(frozen=True, slots=True)
class Clash:
    """Another one's newer mark, which was left as it is.

    Attributes:
        mark: What stands; none: the mark was taken back.
        by: The person who made it, as in `marked_by`.
    """

    step: str
    mark: MarkName | None
    by: str
    name: str
    at: dt.datetime


@dataclass(frozen=True, slots=True)
class ChecklistLine:
    """A line of a day's checklist.

    Attributes:
        minutes: Minutes it takes.
        mark: What has been logged for it on that day.
        open_since: The date its open occurrence fell on.
        state: Where the step stands as the day opens.
        works_in: The part of the home plan it works in, if it does.
        new: Whether the step came on that day by its turn.
        marked_by: Where two or more live, who made the mark; none where nobody said.
        mine: Where two or more live, who takes the line today, as long as it is not marked.
    """

    step: str
    title: str
    small: str | None
    slot: SlotName
    minutes: int
    cue: str | None
    mark: MarkName | None
    open_since: dt.date | None
    state: StateName
    caution: CautionView | None
    works_in: PartName | None
    new: bool
    marked_by: MarkedBy | None
    mine: TakenBy | None


@dataclass(frozen=True, slots=True)
class ReasonView:
    """Why the next step has not come yet.

    Attributes:
        kind: `settles` (a waiting step has to settle), `hold` (too few outcomes were kept lately), `minutes`
            (no candidate fits under the ceiling), `after` (every step left waits for others), `tomorrow` (one
            has come today already), `start` (the first day), `returning` or `resting` (the list grows back
            first), `paused`, `lapsed`, or `complete` (every step has come).
        step: The step meant, where there is one.
        kept: Outcomes kept (of `settles`: within its latest `of`; of `hold`: in the counted days).
        needs: Outcomes that must be kept.
        of: Outcomes looked at.
        text: The reason in words.
    """

    kind: str
    step: str | None
    kept: int | None
    needs: int | None
    of: int | None
    text: str


@dataclass(frozen=True, slots=True)
class RestingStep:
    """A step that is left off the list for now."""

    step: str
    title: str


@dataclass(frozen=True, slots=True)
class WelcomeBack:
    """What greets a household that fell away or was paused for long.

    Attributes:
        gap: Household days without a mark before this one.
        back: How many steps are on the way back at once (before a lapsed household has returned: would be).
        of: How many it had.
        resting: The steps that wait, in the order in which they come back.
        returned: Whether the household has returned (a lapsed one returns by a mark or a choice).
        chosen: `all` or `one` if the household chose so.
    """

    gap: int
    back: int
    of: int
    resting: tuple[RestingStep, ...]
    returned: bool
    chosen: Literal["all", "one"] | None


@dataclass(frozen=True, slots=True)
class PauseView:
    """A pause that covers the day or is planned: its first and last date (none: open end)."""

    since: dt.date
    until: dt.date | None
    running: bool


@dataclass(frozen=True, slots=True)
class Day:
    """A household day as it stands.

    Attributes:
        date: The date.
        day: 1 on the start date; counts calendar days.
        editable: Whether marks can still be changed.
        today: Whether it is the household's current day.
        introduced: The step that came on this day.
        waiting_for: Why the next step has not come yet.
        welcome_back: On a lapsed day and on the day of the return.
        resting: The steps that come back later, in that order.
        stuck: Today, steps that could do with help, the one that missed most first.
        pauses: A pause that runs or is planned.
        earlier: The day before, if there is one.
        later: The day after, if it is not in the future.
        arrived: The step that came on this day, and why.
        settled: Today, what has settled since the latest day with a mark.
        new_places: Today, the places of the bar that open.
        empty: Today, that the day before was empty.
        few: Today, the offer of only a few lines, or that it was taken.
        ideas: Today, in the steady time, what could come next.
        version: The household's version as this answer saw it; every write makes it greater.
    """

    date: dt.date
    day: int
    phase: PhaseName
    editable: bool
    today: bool
    lesson: LessonView | None
    introduced: str | None
    checklist: tuple[ChecklistLine, ...]
    waiting_for: tuple[ReasonView, ...]
    welcome_back: WelcomeBack | None
    resting: tuple[RestingStep, ...]
    stuck: tuple[StuckStep, ...]
    pauses: tuple[PauseView, ...]
    earlier: dt.date | None
    later: dt.date | None
    arrived: Arrived | None
    settled: tuple[SettledStep, ...]
    new_places: tuple[NewPlace, ...]
    empty: EmptyDay | None
    few: Few | None
    ideas: Ideas | None
    # Two answers that say the same of a day are equal, however much was written about other days.
    version: int = field(compare=False)


@dataclass(frozen=True, slots=True)
class DayPart:
    """A part of a day with its lines.

    Attributes:
        lines: In the order of the checklist.
        to_do: Those without a mark.
        marked: Those with one; `marked_text` counts them in words.
        minutes: Minutes of those to do together.
        together: The steps to do that come on most days of a week; one tap marks them all as kept.
    """

    slot: SlotName
    lines: tuple[ChecklistLine, ...]
    to_do: tuple[ChecklistLine, ...]
    marked: tuple[ChecklistLine, ...]
    marked_text: str
    minutes: int
    together: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DayInParts:
    """A day with the parts that have lines.

    Attributes:
        present: Of the current day the part that is on, or the next one with something to do; else none.
        several: Whether two or more live here, so that it is said who marked a line.
    """

    day: Day
    parts: tuple[DayPart, ...]
    present: SlotName | None
    several: bool = False


@dataclass(frozen=True, slots=True)
class MarkedTogether:
    """Several marks set or taken back at once.

    Attributes:
        changed: The steps whose mark is another one than before, in the order of the checklist.
        day: The day as it stands with them.
    """

    changed: tuple[str, ...]
    day: Day
