"""The form of a page of the handover, as it is sent and shown again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from fastapi import Path
from pydantic import Field

from coach.paper import pages as service
from coach.paper.pages import TypedPage
from coach.web.pages.seen import Fields, SeenForm, Shown, Values, seen_text

if TYPE_CHECKING:
    from coach.ground.situation import Situation
    from coach.paper.handover_answers import ForName, HandoverPage, StarterPage

PageId = Annotated[str, Path(pattern=r"^[0-9-]{10,20}$")]

WHOM_WORDS: dict[ForName, str] = {
    "sitter": "A sitter tonight",
    "guest": "A guest",
    "stand-in": "Whoever stands in for a week",
    "emergency": "An emergency",
}
"""For whom a page or a handover is, as one chooses it."""

LABELS = {"title": "Title", "markdown": "Text", "whom": "For whom"}


class PageForm(SeenForm):
    """A page of the handover."""

    title: str = ""
    markdown: str = ""
    whom: list[str] = Field(default_factory=list)

    def typed(self) -> TypedPage:
        """The page as its use case takes it."""
        return TypedPage(self.title, self.markdown, tuple(self.whom))


class PreviewForm(PageForm):
    """The same to be looked at before it is saved.

    Attributes:
        page: Which page is being changed; empty for a new one.
    """

    page: str = ""


NEW_PAGE = PageForm()
"""A page before anything is typed."""


def page_form(page: HandoverPage | StarterPage) -> PageForm:
    """A page as one would type it."""
    return PageForm(title=page.title, markdown=page.markdown, whom=list(page.whom))


def page_shown(page: HandoverPage) -> Shown[PageForm]:
    """A page's form as it stands."""
    form = page_form(page)
    return Shown(form, seen_text(values_of(form)))


def values_of(form: PageForm) -> Values:
    """A form's own fields as text."""
    named = [name for name in WHOM_WORDS if name in form.whom]
    return {"title": form.title, "markdown": form.markdown, "whom": " ".join(named)}


def form_of(values: Values) -> PageForm:
    """A form with these fields."""
    return PageForm(title=values["title"], markdown=values["markdown"], whom=values["whom"].split())


def page_fields(page_id: str) -> Fields:
    """The fields of a page as they stand, and what they are called."""

    def now(where: Situation) -> Values:
        return values_of(page_form(service.page_in(where, page_id)))

    return Fields(now, LABELS.__getitem__, _words)


def list_values(where: Situation, looked_for: str = "") -> dict[str, object]:
    """The list of pages, perhaps only those that hold some words."""
    found = service.pages_in(where, looked_for)
    return {"found": found, "looked_for": looked_for.strip(), "whom_words": WHOM_WORDS}


def _words(name: str, text: str) -> str:
    if name != "whom":
        return text
    return ", ".join(words for key, words in WHOM_WORDS.items() if key in text.split())
