"""Sheets, cards and booklets as plain values that pages, JSON and the press render alike."""

# Pydantic reads these annotations at run time; `dt.date` is not mistaken for the field `date`.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.ground.cautions import CautionView
from coach.habits.answers import LessonView
from coach.habits.notes import SlotName

PaperName = Literal["a4", "letter"]
BoxName = Literal["open", "kept", "small", "missed", "excused", "none"]
PieceName = Literal["minutes", "cues", "job-lines", "area", "dinners", "dues", "errands", "writing", "names"]


@dataclass(frozen=True, slots=True)
class SheetDay:
    """One of the seven dates of a sheet.

    Attributes:
        rest: Why nothing is asked on it, as a date of the week says; none: it is a day like others.
    """

    date: dt.date
    weekday: str
    rest: str | None


@dataclass(frozen=True, slots=True)
class SheetLine:
    """A line of the daily list with a box for each of the seven dates.

    Attributes:
        cue: The moment it hangs on.
        boxes: Seven, in the order of the dates: empty where it is open or nothing was marked, what was marked
            on that date, or none at all on a date on which it does not fall.
    """

    step: str
    title: str
    slot: SlotName
    minutes: int
    cue: str | None
    boxes: tuple[BoxName, ...]


@dataclass(frozen=True, slots=True)
class SheetJob:
    """A weekday job on its date.

    Attributes:
        minutes: None of their own (0) where the week's area has its minutes for the same work.
        box: Empty while it is open or nothing was marked, else what it was marked.
        lines: The titles of its lines, in the household's order.
        marked_on: The date on which it was marked, which may be a later one.
    """

    step: str
    title: str
    date: dt.date
    minutes: int
    box: BoxName
    lines: tuple[str, ...]
    marked_on: dt.date | None = None


@dataclass(frozen=True, slots=True)
class SheetTask:
    """A task of the week's area, with the date on which it was done, if it was."""

    task: str
    title: str
    minutes: int
    done: dt.date | None


@dataclass(frozen=True, slots=True)
class SheetArea:
    """An area of the week with its list.

    Attributes:
        number: Its place in the order of the areas, from 1, by which its hatch is chosen.
    """

    area: str
    name: str
    number: int
    minutes: int
    tasks: tuple[SheetTask, ...]


@dataclass(frozen=True, slots=True)
class SheetDinner:
    """A dinner, and what has to be moved or thawed on its date for it or another one.

    Attributes:
        dish: None on a date for which only something has to be thawed.
        time: HH:MM by the household's clock.
        thaw: What to move out of the freezer on that date, each in words.
    """

    date: dt.date
    dish: str | None
    time: str | None
    thaw: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetDue:
    """A due of the week on its date.

    Attributes:
        time: HH:MM, of an appointment.
        seen_to: Whether it is over.
    """

    due: str
    name: str
    date: dt.date
    time: str | None
    amount: str | None
    seen_to: bool


@dataclass(frozen=True, slots=True)
class SheetErrand:
    """Errands of one place."""

    place: str
    titles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetCaution:
    """A caution of the back page, with the titles of what it stands beside."""

    caution: CautionView
    beside: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetChoices:
    """How a household wants its sheet.

    Attributes:
        across: Whether the paper lies on its long side.
        back: Whether there is a back page, with job lines and cautions.
        left_off: What is left off.
    """

    paper: PaperName = "a4"
    across: bool = False
    back: bool = False
    left_off: tuple[PieceName, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """A week on one sheet of paper.

    Attributes:
        week: Its name in ISO 8601's form, such as 2027-W05.
        title: What stands at the head, in words.
        current: Whether it holds today.
        earlier: The name of the week before, if there is one to look at.
        later: The name of the week after.
        enterable: The dates whose boxes can still be entered.
        late: The dates of the week that are too long ago for that.
        area_text: Why the week of the areas is as it is, where that needs a word; else empty.
        caution: What to mind while thawing, where something is frozen.
        cautions: Those of lines, jobs and tasks, each once, for the back page.
        writing: Lines for handwriting, at least; the press gives more where there is room.
        members: Who lives there, where two or more do.
    """

    week: str
    first: dt.date
    last: dt.date
    title: str
    current: bool
    earlier: str | None
    later: str | None
    choices: SheetChoices
    days: tuple[SheetDay, ...]
    lines: tuple[SheetLine, ...]
    jobs: tuple[SheetJob, ...]
    areas: tuple[SheetArea, ...]
    area_text: str
    dinners: tuple[SheetDinner, ...]
    dues: tuple[SheetDue, ...]
    errands: tuple[SheetErrand, ...]
    caution: CautionView | None
    cautions: tuple[SheetCaution, ...]
    writing: int
    members: tuple[str, ...]
    enterable: tuple[dt.date, ...]
    late: tuple[dt.date, ...]


@dataclass(frozen=True, slots=True)
class PieceHelp:
    """Something that could be left off a sheet that does not fit.

    Attributes:
        saves: How many lines that saves.
        fits: Whether the sheet fits then.
    """

    piece: PieceName
    saves: int
    fits: bool


@dataclass(frozen=True, slots=True)
class SheetFit:
    """How a sheet fits on one page when a browser prints it, counted on the safe side.

    Attributes:
        step: Which of the sizes it is set in, from 1, the largest; the last one where it does not fit.
        size: That size in points.
        layout: How its pieces lie, by the name of a class of the style sheet.
        over: By how many lines it is too long at the least size; 0: it fits.
        helps: What could be left off, where it does not fit, what saves most first.
        back: Which of the sizes the back page is set in.
        back_over: By how many lines it is too long at the least size; 0: it fits, or none is wanted.
    """

    step: int
    size: float
    layout: str
    over: int
    helps: tuple[PieceHelp, ...]
    back: int
    back_over: int


@dataclass(frozen=True, slots=True)
class CardLine:
    """A line of a card.

    Attributes:
        days: On which days it comes, in words such as `every Tuesday`; empty for every day.
        caution_fits: Whether its card has room for the caution's whole text, and not for its title alone.
    """

    step: str
    title: str
    cue: str | None
    small: str | None
    minutes: int
    days: str
    caution: CautionView | None
    caution_fits: bool = False


@dataclass(frozen=True, slots=True)
class Card:
    """The list of one part of the day, to hang where it happens.

    Attributes:
        number: Which of the cards of its part it is, from 1; a long list goes on on further ones.
        of: How many cards its part has.
    """

    slot: SlotName
    title: str
    lines: tuple[CardLine, ...]
    number: int = 1
    of: int = 1


@dataclass(frozen=True, slots=True)
class Cards:
    """The day cards of a household, in the order of the day.

    Attributes:
        per_page: How many share a page: 4 on upright paper, or 2 side by side on paper that lies across.
    """

    cards: tuple[Card, ...]
    paper: PaperName
    per_page: Literal[2, 4]


@dataclass(frozen=True, slots=True)
class BookletStep:
    """A step of a course with its lessons, in the order of delivery.

    Attributes:
        day: The day of the course on which its first lesson comes when everything is kept, from 1; none where
            that cannot be said.
        repeats_text: When it falls, in words.
    """

    step: str
    title: str
    small: str | None
    cue: str | None
    minutes: int
    repeats_text: str
    caution: CautionView | None
    lessons: tuple[LessonView, ...]
    slot: SlotName = "anytime"
    why: str | None = None
    day: int | None = None


@dataclass(frozen=True, slots=True)
class Booklet:
    """A course's lessons to read on paper.

    Attributes:
        summary: What the course is about, in a sentence or two.
        ramp_days: How many days the course takes with everything kept.
    """

    course: str
    title: str
    steps: tuple[BookletStep, ...]
    paper: PaperName = "a4"
    summary: str = ""
    ramp_days: int | None = None
