"""What the paper pages answer to `?format=pdf`: the press's bytes, or in words why there are none."""

from __future__ import annotations

from contextlib import contextmanager
from importlib import import_module
from threading import BoundedSemaphore
from typing import TYPE_CHECKING, Annotated, Literal

from fastapi import Query
from fastapi.responses import Response

from coach.errors import Crowded, DoesNotFit
from coach.ground.wording import lines_words
from coach.limits import PRINTS
from coach.press.printed import TooLong

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.paper.answers import Booklet, Cards, Sheet
    from coach.paper.handover_answers import Handover
    from coach.press.printed import Printed

MEDIA_TYPE = "application/pdf"
LEAST_TYPE = 8
"""The least size of type on a sheet, in points."""

CROWDED = (
    "Other pages are being printed before this one. Try again in a moment, or print it from the browser."
)
_PLACES = BoundedSemaphore(PRINTS)

Format = Annotated[Literal["pdf"] | None, Query(description="As PDF; without it, the page.")]


def as_pdf(
    kind: Literal["sheet", "cards", "handover", "booklet"],
    answer: Sheet | Cards | Handover | Booklet,
    name: str,
    instead: str = "Leave something off, then try again.",
) -> Response:
    """An answer set as PDF, to be shown by the browser or saved under a name.

    Args:
        kind: Which function of the press sets it.
        answer: What it sets.
        name: The file's name without its ending, in ASCII.
        instead: What to do where it does not fit.

    Raises:
        NotReady: The library that sets pages is not installed; the text says how that is done.
        DoesNotFit: It is too long for its page, with by how many lines and what to do.
        Crowded: Too many others are made or wait.
    """
    # The library is loaded with the first page that anybody wants set.
    press = import_module(f"coach.press.{kind}")
    with _place():
        made: Printed | TooLong = getattr(press, kind)(answer)
    if isinstance(made, TooLong):
        raise DoesNotFit(too_long(made.lines, instead) if made.lines else back_too_long(made.back))
    headers = {"content-disposition": f'inline; filename="{name}.pdf"'}
    return Response(made.pdf, headers=headers, media_type=MEDIA_TYPE)


@contextmanager
def _place() -> Iterator[None]:
    """One of the places where a PDF is made or waits, each of which costs a thread."""
    if not _PLACES.acquire(blocking=False):
        raise Crowded(CROWDED)
    try:
        yield
    finally:
        _PLACES.release()


def back_too_long(lines: int) -> str:
    """That the back page of a sheet does not fit, by how many lines, and what to do."""
    return (
        f"Its back page is {lines_words(lines)} too long, even in type of {LEAST_TYPE} points. "
        "On the page of the sheet choose to print none, so that the lines of the jobs stand on the front. "
        "Nothing was cut."
    )


def too_long(lines: int, instead: str) -> str:
    """That something does not fit, by how many lines, and what to do."""
    return (
        f"It is {lines_words(lines)} too long for one page, even in type of {LEAST_TYPE} points. {instead} "
        "Nothing was cut."
    )
