"""What the use cases of the areas answer: plain values that pages and JSON render alike."""

# Pydantic reads these annotations at run time; `dt.date` is not mistaken for the field `date`.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.ground.cautions import CautionView
from coach.ground.offers import Offer

ModeName = Literal["continuous", "month", "need"]
WayName = Literal["list", "spot", "both"]
ListName = Literal["detail", "declutter"]
AnyListName = Literal["detail", "declutter", "suggestions"]
UseName = Literal["wet", "sleeping", "living", "ways", "outside"]
WeekdayName = Literal["MO", "TU", "WE", "TH", "FR", "SA", "SU"]
TurnKind = Literal["turn", "shared", "catch-up", "skipped", "away", "before"]


@dataclass(frozen=True, slots=True)
class RoomChoice:
    """A kind of room with a starter list.

    Attributes:
        room: Its id.
        use: What such a room is for, which orders the kinds and the areas made of them.
        words: What such a room may be called; a typed name is known by them.
        minutes: Minutes of its detail tasks.
        detail: How many detail tasks it has.
        declutter: How many declutter tasks.
    """

    room: str
    title: str
    use: UseName | None
    words: tuple[str, ...]
    minutes: int
    detail: int
    declutter: int


@dataclass(frozen=True, slots=True)
class TaskView:
    """A task of an area's list.

    Attributes:
        task: Its id in marks.
        every_days: It is done at most once in so many days.
        source: Where that interval comes from.
        caution: The key of its caution, which stands among those of the area.
    """

    task: str
    title: str
    minutes: int
    every_days: int | None
    source: str | None
    caution: str | None


@dataclass(frozen=True, slots=True)
class AreaTask:
    """A task with its place among the areas; the other attributes are those of `TaskView`.

    Attributes:
        area: The id of its area.
        list: Which of that area's lists it is on.
        position: Its place in the list, from 0.
    """

    task: str
    title: str
    minutes: int
    every_days: int | None
    source: str | None
    caution: str | None
    area: str
    list: AnyListName
    position: int


@dataclass(frozen=True, slots=True)
class AreaView:
    """An area with its lists.

    Attributes:
        area: Its id.
        minutes: Minutes of its detail list.
        suggestions: Detail tasks kept beside the list, to be added to it one by one.
        visits: Weeks one pass through it takes, if all that is listed is done.
        weeks: Weeks from the start of one pass to the start of the next; 0 without tasks.
        remarks: Tasks that take too long for a week, or come round less often than they ask for, in words.
        next_turn: The first day of the next week in which it has its turn, within a year.
        number: Its place in the order, from 1, by which pictures choose its pattern.
        cautions: The cautions of its tasks, each once.
        sort_first: Whether its declutter list takes the place of the other until that is done.
    """

    area: str
    name: str
    number: int
    rooms: tuple[str, ...]
    minutes: int
    detail: tuple[TaskView, ...]
    declutter: tuple[TaskView, ...]
    suggestions: tuple[TaskView, ...]
    visits: int
    weeks: int
    remarks: tuple[str, ...]
    next_turn: dt.date | None
    cautions: tuple[CautionView, ...]
    sort_first: bool


@dataclass(frozen=True, slots=True)
class Areas:
    """The areas of a home and how they are worked in.

    Attributes:
        areas: In order; none before the set-up.
        mode: Whether areas follow one another, the weeks of the month, or go by need.
        minutes_a_week: Minutes of a week's turn.
        way: Whether a week has a list, a short task a day, or both.
        spot_minutes: The most minutes of such a short task.
        area_days: The weekdays over which the minutes are spread.
        declutter_weeks: Turns still to come in which declutter lists take the place of the others.
        this_week: The ids of the areas whose turn it is.
        undo: The last change, in words, if it can be taken back.
    """

    areas: tuple[AreaView, ...]
    mode: ModeName
    minutes_a_week: int
    way: WayName
    spot_minutes: int
    area_days: tuple[WeekdayName, ...]
    declutter_weeks: int
    this_week: tuple[str, ...]
    undo: str | None


@dataclass(frozen=True, slots=True)
class MinutesChoice:
    """Another number of minutes a week, and the weeks until everything on the lists is finished once."""

    minutes: int
    weeks: int


@dataclass(frozen=True, slots=True)
class ProposedTask:
    """A task of a starter list."""

    title: str
    minutes: int
    every_days: int | None
    source: str | None
    caution: str | None


@dataclass(frozen=True, slots=True)
class ProposedArea:
    """An area as it is proposed, in the form in which the areas can be put.

    Attributes:
        minutes: Minutes of its detail list.
        visits: Turns that one pass takes.
        suggestions: What further tasks its rooms' starter lists have.
    """

    name: str
    rooms: tuple[str, ...]
    minutes: int
    visits: int
    detail: tuple[ProposedTask, ...]
    declutter: tuple[ProposedTask, ...]
    suggestions: tuple[ProposedTask, ...]


@dataclass(frozen=True, slots=True)
class Proposal:
    """A division of a home into areas; nothing is kept until it is accepted.

    Attributes:
        rooms: As they were named.
        kinds: The kind of each: an id, `none` where the list begins empty, nothing where it is unknown.
        unknown: The rooms whose kind is not told by their name, and has to be said.
        most: The most areas these rooms can make.
        minutes_a_week: Minutes of a turn.
        by_minutes: How many areas the minutes make, whether or not so many were wanted.
        picked: How their number was picked, in a sentence.
    """

    rooms: tuple[str, ...]
    kinds: tuple[str | None, ...]
    unknown: tuple[str, ...]
    areas: tuple[ProposedArea, ...]
    most: int
    minutes_a_week: int
    by_minutes: int
    picked: str


@dataclass(frozen=True, slots=True)
class WeekTask:
    """A task in the week's area.

    Attributes:
        done: The date of this week on which it was done, if it was.
        ready: The date from which it may be done again, if that was not long ago.
    """

    task: str
    title: str
    minutes: int
    every_days: int | None
    source: str | None
    caution: CautionView | None
    done: dt.date | None
    ready: dt.date | None


@dataclass(frozen=True, slots=True)
class AreaTurn:
    """One area's lists for its week.

    Attributes:
        minutes: Its minutes this week.
        list: Which of its lists is worked on.
        new_pass: Whether a new trip through its list begins.
        listed: The week's list.
        if_time: What comes after it.
        held_back: What was done not long ago and waits.
        number: Its place in the order of the areas, from 1, by which pictures choose its hatch.
    """

    area: str
    name: str
    minutes: int
    list: ListName
    new_pass: bool
    listed: tuple[WeekTask, ...]
    if_time: tuple[WeekTask, ...]
    held_back: tuple[WeekTask, ...]
    number: int


@dataclass(frozen=True, slots=True)
class AreaWeekView:
    """This week's area as it stands.

    Attributes:
        week: The week's first day.
        name: Its name, such as 2027-W05.
        last: Its last day.
        today: The household's current date.
        kind: What the week is: an area's `turn`, `shared` by several, `catch-up`, `skipped`, or `away`.
        text: That in words.
        list: Which of the areas' lists is worked on.
        way: How the household works.
        areas: The areas of the week.
        spot: The day's short task, with the date if it is done.
        done_minutes: Minutes of the tasks done this week.
        days: The dates a task can be marked on, the latest first.
        minutes: The week's minutes on each of its dates that have any.
        why: By need, what weighs most in the need of the week's area, in words; else empty.
        offers: The mark of a step that works in areas, once today's ticks are worth its minutes.
    """

    week: dt.date
    name: str
    last: dt.date
    today: dt.date
    kind: TurnKind
    text: str
    list: ListName
    way: WayName
    areas: tuple[AreaTurn, ...]
    spot: WeekTask | None
    done_minutes: int
    days: tuple[dt.date, ...]
    minutes: dict[dt.date, int]
    why: str
    offers: Offer | None


@dataclass(frozen=True, slots=True)
class Share:
    """An area's part of a week; `number` is its place in the order of the areas, from 1."""

    area: str
    name: str
    number: int
    minutes: int


@dataclass(frozen=True, slots=True)
class WeekAhead:
    """A week of the rotation.

    Attributes:
        week: Its first day.
        name: Its name, such as 2027-W05.
        month: The month it belongs to, such as 2027-01.
        number: Its place in the month, from 1.
        of: How many weeks the month has.
        areas: Whose turn it is; the week's areas of a shared one; none where nobody's.
        kind: As for this week's area.
        declutter: Whether declutter lists are worked on.
        text: Why it is so, where that needs a word; else empty.
        forecast: Whether it is not fixed yet: by need, weeks to come are shown as they will be if each week's
            list is done.
    """

    week: dt.date
    name: str
    month: str
    number: int
    of: int
    areas: tuple[Share, ...]
    kind: TurnKind
    declutter: bool
    text: str
    forecast: bool


@dataclass(frozen=True, slots=True)
class RotationView:
    """The weeks to come.

    Attributes:
        weeks: From this week on.
        undo: The last change, in words, if it can be taken back.
    """

    mode: ModeName
    minutes_a_week: int
    weeks: tuple[WeekAhead, ...]
    undo: str | None
