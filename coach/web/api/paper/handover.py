"""`/api/handover`: what somebody else needs to run this home, and the pages of the household's own."""

from typing import Annotated

from fastapi import APIRouter, Path, Query, Response
from pydantic import Field, TypeAdapter

from coach.ground.ports import Context
from coach.ground.situation import looking
from coach.paper import handover as service
from coach.paper import pages as own
from coach.paper.answers import PaperName
from coach.paper.handover import MOST_DAYS, Wanted
from coach.paper.handover_answers import (
    MOST_PAGES,
    TEXT_LENGTH,
    TITLE_LENGTH,
    ForName,
    Handover,
    HandoverOrder,
    HandoverPage,
    HandoverPages,
    PartName,
    StarterPages,
)
from coach.paper.pages import TypedPage
from coach.paper.starters import starters
from coach.web.api.answers import problems, written
from coach.web.api.fields import FILLED, Body, OnOneLine
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/handover", tags=["paper"], route_class=StrictRoute)

HANDOVER, PAGES, PAGE = TypeAdapter(Handover), TypeAdapter(HandoverPages), TypeAdapter(HandoverPage)
ORDER, STARTERS = TypeAdapter(HandoverOrder), TypeAdapter(StarterPages)
PageId = Annotated[str, Path(description="As in `pages`.", pattern=r"^[0-9-]{10,20}$")]
CHANGE_ERRORS = problems("not-started", "unknown", "outdated")

From = Annotated[IsoDate | None, Query(alias="from", description="The first date; today without it.")]
Until = Annotated[
    IsoDate | None,
    Query(description=f"The last date, at most {MOST_DAYS} in all; without it, as many as are usual."),
]
Parts = Annotated[
    list[PartName] | None,
    Query(description="What of the records goes along, each by itself; without any, what is usual."),
]


class PageBody(Body):
    """A page."""

    title: Annotated[str, Field(max_length=TITLE_LENGTH), OnOneLine(FILLED)]
    markdown: str = Field(
        max_length=TEXT_LENGTH,
        description="CommonMark; raw HTML is text, pictures are left out, links are http(s), tel or mailto.",
        json_schema_extra={"pattern": r"\S"},
    )
    whom: list[ForName] = Field(min_length=1, max_length=10, description="For whom it is.")

    def typed(self) -> TypedPage:
        """The page as its use case takes it."""
        return TypedPage(self.title, self.markdown, tuple(self.whom))


class OrderBody(Body):
    """Ids of pages in the order they are to stand in; those that are not named follow as they stand."""

    order: list[Annotated[str, Field(max_length=20)]] = Field(max_length=MOST_PAGES)


def _seen(context: Context, if_match: str | None, page: str) -> Context:
    return matching(context, if_match, PAGE, lambda where: own.page_in(where, page))


@router.get("", response_model=Handover, responses=problems("not-started"))
def handover(  # noqa: PLR0913, PLR0917  the parts of a question
    context: ContextDep,
    household: HouseholdDep,
    whom: ForName,
    first: From = None,
    until: Until = None,
    part: Parts = None,
    paper: PaperName | None = None,
) -> Response:
    """The household's pages for somebody, joined with what its records know of some dates."""
    wanted = Wanted(whom, first, until, tuple(part) if part else None, paper)
    return written(HANDOVER, service.handover(context, household, wanted))


@router.get("/starters", response_model=StarterPages, responses=problems())
def ready_made(context: ContextDep) -> Response:
    """The pages to begin with, each with blanks to fill in; none is kept before it is sent as a page."""
    return written(STARTERS, StarterPages(starters(context.library)))


@router.get("/pages", response_model=HandoverPages, responses=problems("not-started"))
def pages(
    context: ContextDep,
    household: HouseholdDep,
    q: Annotated[str, Query(max_length=100, description="Words that title or text have to hold.")] = "",
) -> Response:
    """The pages in the household's order, or those that hold some words."""
    with looking(context, household) as where:
        return written(PAGES, own.pages_in(where, q))


@router.post(
    "/pages",
    status_code=201,
    response_model=HandoverPage,
    responses=problems("not-started", "not-editable"),
)
def add(context: ContextDep, household: HouseholdDep, body: PageBody) -> Response:
    """Write a page down, as the last. `Location` says where it is."""
    found = own.add(context, household, body.typed())
    answer = written(PAGE, found, 201)
    answer.headers["location"] = f"/api/handover/pages/{found.page}"
    return answer


@router.get("/pages/{page}", response_model=HandoverPage, responses=problems("not-started", "unknown"))
def one(context: ContextDep, household: HouseholdDep, page: PageId) -> Response:
    """One page, with the ETag that a change of it can carry."""
    with looking(context, household) as where:
        return tagged(PAGE, own.page_in(where, page))


@router.put("/pages/{page}", response_model=HandoverPage, responses=CHANGE_ERRORS)
def change(
    context: ContextDep, household: HouseholdDep, page: PageId, body: PageBody, if_match: IfMatch = None
) -> Response:
    """Change a page."""
    return written(PAGE, own.change(_seen(context, if_match, page), household, page, body.typed()))


@router.delete("/pages/{page}", response_model=HandoverPages, responses=CHANGE_ERRORS)
def delete(context: ContextDep, household: HouseholdDep, page: PageId, if_match: IfMatch = None) -> Response:
    """Delete a page; the answer is those that are left."""
    return written(PAGES, own.remove(_seen(context, if_match, page), household, page))


@router.get("/order", response_model=HandoverOrder, responses=problems("not-started"))
def order(context: ContextDep, household: HouseholdDep) -> Response:
    """The ids of the pages in the household's order, with the ETag that a change of it can carry."""
    with looking(context, household) as where:
        return tagged(ORDER, own.order_in(where))


@router.put("/order", response_model=HandoverOrder, responses=problems("not-started", "outdated"))
def put_in_order(
    context: ContextDep, household: HouseholdDep, body: OrderBody, if_match: IfMatch = None
) -> Response:
    """Put pages in an order; no order loses a page."""
    seen = matching(context, if_match, ORDER, own.order_in)
    return written(ORDER, own.put_in_order(seen, household, body.order))
