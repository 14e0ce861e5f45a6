"""Another one's newer mark beside the one that was tapped, with the two ways to go on."""

from dataclasses import dataclass
from datetime import date
from http import HTTPStatus

from fastapi import Request, Response

from coach.errors import Newer
from coach.habits.answers import Clash, DayInParts
from coach.habits.gone_by import DaysBefore
from coach.habits.wording import clash_text
from coach.web.rendering import is_partial, page


@dataclass(frozen=True, slots=True)
class Both:
    """A choice between two marks.

    Attributes:
        title: What the line is called.
        text: Who marked it, how and when.
        name: Who that is; empty: nobody with a name.
        version: The household's version that shows it.
        action: Where the choice is sent.
        theirs: Name and value of the button that keeps what is there.
        mine: The same of the one that was tapped.
        target: Where htmx puts the answer, how (`swap`), in which line (`sync`), and what it sends besides.
    """

    step: str
    title: str
    text: str
    name: str
    version: int
    action: str
    theirs: tuple[str, str]
    mine: tuple[str, str]
    target: str
    swap: str
    sync: str
    include: str = ""


def of_day(request: Request, error: Newer, tapped: str) -> Response:
    """The choice in the place of a line's mark, or on a page of its own."""
    found, clash = error.now["shown"], error.now["clash"]
    assert isinstance(found, DayInParts)  # noqa: S101  the use case was asked for it
    assert isinstance(clash, Clash)  # noqa: S101  it always has one
    line = next((one for one in found.day.checklist if one.step == clash.step), None)
    both = Both(
        step=clash.step,
        title=line.title if line else clash.step,
        text=clash_text(clash),
        name=clash.name,
        version=found.day.version,
        action=f"/days/{found.day.date}/marks/{clash.step}",
        theirs=("mark", "theirs"),
        mine=("mark", tapped),
        target=f"#do-{clash.step}",
        swap="innerHTML",
        sync="#list:queue all",
    )
    name = "habits/parts/clash_answer.html" if is_partial(request) else "habits/clash.html"
    return page(request, name, {"both": both}, HTTPStatus.CONFLICT)


def of_grid(request: Request, error: Newer, on: date, mine: str) -> tuple[DaysBefore, Both, Response | None]:
    """The grid as it stands with the choice below its line; a page of its own where htmx does not ask."""
    found, clash = error.now["shown"], error.now["clash"]
    assert isinstance(found, DaysBefore)  # noqa: S101  the use case was asked for it
    assert isinstance(clash, Clash)  # noqa: S101  it always has one
    line = found.line(clash.step)
    both = Both(
        step=clash.step,
        title=line.title if line else clash.step,
        text=clash_text(clash),
        name=clash.name,
        version=found.version,
        action=f"/days/lines/{clash.step}",
        theirs=("theirs", on.isoformat()),
        mine=(mine, on.isoformat()),
        target="closest li",
        swap="outerHTML",
        sync="#grid:queue all",
        include="#shape",
    )
    whole = None if is_partial(request) else page(request, "habits/clash.html", {"both": both}, 409)
    return found, both, whole
