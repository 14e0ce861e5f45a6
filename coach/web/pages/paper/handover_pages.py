"""`/handover/pages`: a page of the household's own, written, changed, put in its place, deleted."""

from contextlib import suppress
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Form, Query, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.errors import NotEditable, Repeated
from coach.ground.faults import Unfit
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.paper import pages as service
from coach.paper.starters import starter
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.once import OnceDep
from coach.web.pages.paper.handover_forms import (
    NEW_PAGE,
    WHOM_WORDS,
    PageForm,
    PageId,
    PreviewForm,
    form_of,
    list_values,
    page_fields,
    page_form,
    page_shown,
    values_of,
)
from coach.web.pages.seen import CHANGED_SINCE, Clash, Shown, Values, holding, put
from coach.web.pages.ways import see, words
from coach.web.rendering import is_partial
from coach.web.rendering import page as rendered
from coach.web.showing import View, show

router = APIRouter(prefix="/handover")

GONE = CHANGED_SINCE.replace("taken off", "deleted")


class PlaceForm(BaseModel):
    """Where a page is to stand: before another one, or last."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    page: Annotated[str, Form(pattern=r"^[0-9-]{10,20}$")]
    before: Annotated[str, Form(pattern=r"^[0-9-]{0,20}$")] = ""


@router.get("/new")
def new(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    starter_key: Annotated[str, Query(alias="starter", max_length=100)] = "",
) -> Response:
    """A page to be written, perhaps with one of those to begin with."""
    found = starter(context.library, starter_key) if starter_key else None
    form = page_form(found) if found else NEW_PAGE
    html = service.preview(form.typed()) if found else ""
    return _form(request, context, household, "", Shown(form, ""), html)


@router.post("/pages")
def add(
    request: Request, context: OnceDep, household: HouseholdDep, form: Annotated[PageForm, Form()]
) -> Response:
    """Keep a new page; what cannot be kept is asked again with everything still there."""
    try:
        with suppress(Repeated):
            service.add(context, household, form.typed())
    except Unfit as error:
        return _form(request, context, household, "", _unfit(form, error))
    except NotEditable as error:
        shown = Shown(form, "", trouble=str(error), status=409)
        return _form(request, context, household, "", shown)
    return see("/handover", "page-kept")


@router.post("/preview")
def preview(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[PreviewForm, Form()]
) -> Response:
    """The text as it would be shown; nothing is written."""
    html, fault = _previewed(form)
    if is_partial(request):
        return rendered(request, "paper/parts/handover_preview.html", {"html": html, "fault": fault})
    shown: Shown[PageForm] = Shown(form, form.seen, faults={"markdown": fault} if fault else {})
    return _form(request, context, household, form.page, shown, html)


def _previewed(form: PageForm) -> tuple[str, str | None]:
    """The text rendered, or why it cannot be."""
    try:
        return service.preview(form.typed()), None
    except Unfit as error:
        return "", str(error)


@router.post("/order")
def place(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[PlaceForm, Form()]
) -> Response:
    """Put a page before another one, or last."""
    service.place(context, household, form.page, form.before or None)
    if is_partial(request):
        return show(
            request,
            context,
            household,
            lambda where: ("paper/parts/handover_list.html", list_values(where)),
        )
    return see("/handover", "page-placed")


@router.get("/pages/{page}")
def one(
    request: Request, context: ContextDep, household: HouseholdDep, page: PageId, said: str | None = None
) -> Response:
    """One page alone, as it prints."""

    def view(where: Situation) -> View:
        found = service.page_in(where, page)
        return "paper/handover_page.html", {"page": found, "whom_words": WHOM_WORDS, "said": words(said)}

    return show(request, context, household, view)


@router.get("/pages/{page}/edit")
def edit(request: Request, context: ContextDep, household: HouseholdDep, page: PageId) -> Response:
    """One page, to be changed."""
    return _form(request, context, household, page)


@router.post("/pages/{page}")
def change(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    page: PageId,
    form: Annotated[PageForm, Form()],
) -> Response:
    """Save what was changed, joined with what others have changed meanwhile."""

    def write(guarded: Context, values: Values) -> None:
        service.change(guarded, household, page, form_of(values).typed())

    try:
        put(context, household, form, values_of(form), page_fields(page), write)
    except Clash as clash:
        return _form(request, context, household, page, clash.shown(form_of(clash.merged)))
    except Unfit as error:
        return _form(request, context, household, page, _unfit(form, error))
    except NotEditable as error:
        shown = Shown(form, form.seen, trouble=str(error), status=409)
        return _form(request, context, household, page, shown)
    return see(f"/handover/pages/{page}", "page-kept")


@router.get("/pages/{page}/delete")
def ask(request: Request, context: ContextDep, household: HouseholdDep, page: PageId) -> Response:
    """Whether a page is to be deleted."""
    return _asking(request, context, household, page)


@router.post("/pages/{page}/delete")
def delete(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    page: PageId,
    seen: Annotated[str, Form()] = "",
) -> Response:
    """Delete a page, unless somebody has changed it since."""
    as_shown = holding(context, seen, page_fields(page).as_they_are, GONE)
    try:
        with suppress(Repeated):
            service.remove(as_shown, household, page)
    except NotEditable as error:
        return _asking(request, context, household, page, error)
    return see("/handover", "page-deleted")


def _asking(
    request: Request, context: Context, household: str, page_id: str, error: NotEditable | None = None
) -> Response:
    def view(where: Situation) -> View:
        found = service.page_in(where, page_id)
        shown = replace(page_shown(found), trouble=str(error) if error else None)
        return "paper/handover_delete.html", {"page": found, "shown": shown}

    return show(request, context, household, view, 409 if error else 200)


def _unfit(form: PageForm, error: Unfit) -> Shown[PageForm]:
    faults = {fault.field: fault.reason for fault in reversed(error.faults)}
    return Shown(form, form.seen, faults=faults, status=422)


def _form(
    request: Request,
    context: Context,
    household: str,
    page_id: str,
    typed: Shown[PageForm] | None = None,
    html: str = "",
) -> Response:
    """The form of a page as it stands, or as it was typed, perhaps with how it would look."""

    def view(where: Situation) -> View:
        found = service.page_in(where, page_id) if page_id else None
        shown = typed or (page_shown(found) if found else Shown(NEW_PAGE, ""))
        return "paper/handover_form.html", {
            "page": found,
            "shown": shown,
            "html": html or (found.html if found and typed is None else ""),
            "fault": shown.faults.get("markdown"),
            "whom_words": WHOM_WORDS,
        }

    return show(request, context, household, view, typed.status if typed else 200)
