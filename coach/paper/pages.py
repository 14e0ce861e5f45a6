"""Pages of the household's own for the handover: written, changed, put in order, looked through, deleted."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING, Any

from coach.course.shapes import required, shape
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.faults import FieldFault, Unfit
from coach.ground.ids import free_ids
from coach.ground.plan_rows import Asked
from coach.ground.prose import render_own
from coach.ground.situation import looking
from coach.ground.writing import Decision, to_plan, written
from coach.paper.handover_answers import HandoverOrder, HandoverPage, HandoverPages
from coach.paper.rules.own_pages import (
    MOST_PAGES,
    OwnPage,
    faults_of,
    holds,
    in_order,
    looked_for,
    placed,
    plain_text,
    plain_title,
    whom_of,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
    from coach.ground.situation import Situation

PAGE, ORDER = "handover", "handover-order"
_PAGE = shape({"title": str, "markdown": str, "whom": [str]})
_ORDER = shape([str])


@dataclass(frozen=True, slots=True)
class TypedPage:
    """A page as it was typed; the attributes are those of a page."""

    title: str
    markdown: str
    whom: tuple[str, ...]


def needed() -> tuple[Asked, Asked]:
    """What of the plan the pages are in."""
    return Asked(PAGE), Asked(ORDER)


def pages(context: Context, household: str) -> HandoverPages:
    """All of them, in the household's order.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return pages_in(where)


def pages_in(where: Situation, words: str = "") -> HandoverPages:
    """Those that hold all of some words, in the household's order, out of a situation."""
    found, wanted = _kept(where), looked_for(words)
    views = (_view(page, place) for place, page in enumerate(found.values(), 1) if holds(page, wanted))
    return HandoverPages(tuple(views), MOST_PAGES)


def page_in(where: Situation, page_id: str) -> HandoverPage:
    """One of them.

    Raises:
        Unknown: There is no such page.
    """
    page = next((one for one in pages_in(where).pages if one.page == page_id), None)
    if page is None:
        raise Unknown("There is no such page of the handover. Somebody may have deleted it.")
    return page


def order_in(where: Situation) -> HandoverOrder:
    """Their ids in the household's order."""
    return HandoverOrder(tuple(_kept(where)))


def preview(typed: TypedPage) -> str:
    """The text as it would be shown, made harmless.

    Raises:
        Unfit: It cannot be shown.
    """
    page = _read("", typed)
    faults = [fault for fault in _faults(page) if fault.field == "markdown"]
    if faults:
        raise Unfit(faults)
    return render_own(page.markdown)


def add(context: Context, household: str, typed: TypedPage) -> HandoverPage:
    """Write a page down, as the last.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unfit: It cannot be kept; nothing was written.
        NotEditable: There are too many already.
    """
    checked(typed)

    def decide(where: Situation) -> Decision[str]:
        taken = where.plan.keys(PAGE)
        if len(taken) >= MOST_PAGES:
            raise NotEditable(
                f"There are {len(taken)} pages already, and {MOST_PAGES} is the most. Delete one that nobody "
                "needs, or add to another one; this one was not saved."
            )
        page_id = next(islice(free_ids(where.today, [*taken, *_ordered(where)]), 1))
        return to_plan([_row(where, _read(page_id, typed))], page_id)

    return written(context, household, decide, page_in)


def change(context: Context, household: str, page_id: str, typed: TypedPage) -> HandoverPage:
    """Change a page.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such page.
        Unfit: It cannot be kept so; nothing was written.
    """
    checked(typed)

    def decide(where: Situation) -> Decision[str]:
        page_in(where, page_id)
        new = _read(page_id, typed)
        return to_plan([] if new == _kept(where)[page_id] else [_row(where, new)], page_id)

    return written(context, household, decide, page_in)


def remove(context: Context, household: str, page_id: str) -> HandoverPages:
    """Delete a page.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such page.
    """

    def decide(where: Situation) -> Decision[None]:
        page_in(where, page_id)
        return to_plan([where.row(PAGE, page_id, None)])

    return written(context, household, decide, lambda where, _: pages_in(where))


def place(context: Context, household: str, page_id: str, before: str | None) -> HandoverPages:
    """Put a page before another one, or last.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: One of them is not there.
    """

    def decide(where: Situation) -> Decision[None]:
        page_in(where, page_id)
        if before is not None:
            page_in(where, before)
        return to_plan(_order_rows(where, placed(tuple(_kept(where)), page_id, before)))

    return written(context, household, decide, lambda where, _: pages_in(where))


def put_in_order(context: Context, household: str, order: Sequence[str]) -> HandoverOrder:
    """Put pages in an order; those that are not named follow as they stand.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: A page is named twice, or there is none of that id; nothing was written.
    """

    def decide(where: Situation) -> Decision[None]:
        here = _kept(where)
        twice = next((page for page in order if order.count(page) > 1), None)
        gone = next((page for page in order if page not in here), None)
        if twice or gone:
            wrong = f"There is no page “{gone}”." if gone else f"The page “{twice}” is named twice."
            raise Malformed(f"{wrong} Name each page once, by its id; nothing was changed.")
        return to_plan(_order_rows(where, in_order(tuple(here), [*order, *here])))

    return written(context, household, decide, lambda where, _: order_in(where))


def checked(typed: TypedPage) -> None:
    """See that a page can be kept.

    Raises:
        Unfit: It cannot.
    """
    faults = list(_faults(_read("", typed)))
    if faults:
        raise Unfit(faults)


def _faults(page: OwnPage) -> Iterable[FieldFault]:
    found = [FieldFault(field, reason) for field, reason in faults_of(page)]
    if not any(fault.field == "markdown" for fault in found):
        try:
            render_own(page.markdown)
        except Malformed as error:
            found.append(FieldFault("markdown", str(error)))
    return found


def _read(page_id: str, typed: TypedPage) -> OwnPage:
    return OwnPage(page_id, plain_title(typed.title), plain_text(typed.markdown), whom_of(typed.whom))


def _kept(where: Situation) -> Mapping[str, OwnPage]:
    """The pages by id, in the household's order."""
    where.plan.fetch(needed())
    found = where.plan.read(PAGE, _page_of)
    return {page: found[page] for page in in_order(found, _ordered(where))}


def _ordered(where: Situation) -> list[str]:
    return where.plan.read_one(ORDER, "", _order_of) or []


def _order_rows(where: Situation, order: tuple[str, ...]) -> list[PlanRow]:
    return [] if order == tuple(_kept(where)) else [where.row(ORDER, "", order)]


def _order_of(_key: str, value: list[str]) -> list[str]:
    required(value, _ORDER)
    return value


def _page_of(page_id: str, value: dict[str, Any]) -> OwnPage:
    required(value, _PAGE)
    page = OwnPage(page_id, value["title"], value["markdown"], whom_of(value["whom"]))
    render_own(page.markdown)
    return page


def _row(where: Situation, page: OwnPage) -> PlanRow:
    value = {"title": page.title, "markdown": page.markdown, "whom": [one.value for one in page.whom]}
    return where.row(PAGE, page.id, value)


def _view(page: OwnPage, position: int) -> HandoverPage:
    return HandoverPage(
        page=page.id,
        title=page.title,
        markdown=page.markdown,
        html=render_own(page.markdown),
        position=position,
        whom=tuple(one.value for one in page.whom),
    )
