"""What is handed over, as plain values that pages, JSON and the press render alike."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.ground.cautions import CautionView
from coach.paper.answers import PaperName
from coach.paper.rules import own_pages

ForName = Literal["sitter", "guest", "stand-in", "emergency"]
PartName = Literal["day", "jobs", "dinners", "dues", "areas"]
# The bounds that the interface tells of.
MOST_PAGES, TITLE_LENGTH, TEXT_LENGTH = own_pages.MOST_PAGES, own_pages.TITLE_LENGTH, own_pages.TEXT_LENGTH


@dataclass(frozen=True, slots=True)
class HandoverPage:
    """A page of the household's own.

    Attributes:
        markdown: As it was written.
        html: The same rendered and made harmless.
        position: Its place in the household's order, from 1.
        whom: For whom it is.
    """

    page: str
    title: str
    markdown: str
    html: str
    position: int
    whom: tuple[ForName, ...]


@dataclass(frozen=True, slots=True)
class HandoverPages:
    """The pages of the household's own, in its order.

    Attributes:
        most: How many there can be.
    """

    pages: tuple[HandoverPage, ...]
    most: int


@dataclass(frozen=True, slots=True)
class HandoverOrder:
    """The ids of the pages in the household's order."""

    order: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StarterPage:
    """A page to begin with, with blanks to fill in.

    Attributes:
        starter: Its key.
    """

    starter: str
    title: str
    markdown: str
    whom: tuple[ForName, ...]


@dataclass(frozen=True, slots=True)
class StarterPages:
    """All pages to begin with."""

    starters: tuple[StarterPage, ...]


@dataclass(frozen=True, slots=True)
class HandoverLine:
    """A line of what the records know.

    Attributes:
        heading: A date or a part of the day where a new one begins, else empty.
        aside: What stands beside it, such as minutes; may be empty.
        under: What stands below it, such as the lines of a job or what has to be thawed.
        number: Of an area, its place in the order of the areas, from 1, by which its hatch is chosen.
    """

    heading: str
    title: str
    aside: str
    under: tuple[str, ...] = ()
    number: int | None = None


@dataclass(frozen=True, slots=True)
class HandoverSection:
    """Something the household's records know already, as lines.

    Attributes:
        key: What it is.
        text: A sentence before the lines; may be empty.
        lines: Each a title with what stands beside it and below it.
        cautions: What to mind with any of it, each once.
    """

    key: PartName
    title: str
    text: str
    lines: tuple[HandoverLine, ...]
    cautions: tuple[CautionView, ...] = ()


@dataclass(frozen=True, slots=True)
class Handover:
    """What someone else needs to run this home for an evening or a week.

    Attributes:
        whom: For whom it is.
        title: What stands at the head, in words.
        dates: The dates it covers, in words.
        from_date: The first of them.
        until: The last.
        sections: What the records know; a part that holds nothing is left out.
    """

    whom: ForName
    title: str
    dates: str
    from_date: dt.date
    until: dt.date
    pages: tuple[HandoverPage, ...]
    sections: tuple[HandoverSection, ...]
    paper: PaperName = "a4"
