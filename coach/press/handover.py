"""The handover as PDF: contents, what the records know, and the household's own pages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.press.books import book, bound
from coach.press.letters import values
from coach.press.markdown import own_nodes_of
from coach.press.setting import Form

if TYPE_CHECKING:
    from coach.paper.handover_answers import Handover
    from coach.press.printed import Printed

_FORM = Form(("ground", "motifs", "book", "handover", "pages"))


def handover(handover: Handover) -> Printed:
    """A handover on as many pages as it needs, with contents and page numbers.

    Raises:
        Malformed: Its pages are too long to set.
        NotReady: The library is not installed, or no face of type has a letter.
    """
    bound(page.markdown for page in handover.pages)
    found = values(handover)
    for page, known in zip(found["pages"], handover.pages, strict=True):
        del page["markdown"], page["html"]
        page["nodes"] = own_nodes_of(known.markdown)
    return book(_FORM, found, handover.paper)
