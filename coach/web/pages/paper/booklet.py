"""`/courses/…/booklet`: a course's lessons to read on paper."""

from typing import Annotated

from fastapi import APIRouter, Path, Request, Response

from coach.ground.situation import Situation
from coach.paper.booklet import booklet as booklet_of
from coach.paper.booklet import refuse_others_course
from coach.paper.choices import choices, choices_in
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.printing import Format, as_pdf
from coach.web.rendering import page
from coach.web.showing import View, show

router = APIRouter(prefix="/courses")

Named = Annotated[str, Path(max_length=100)]


@router.get("/{course}/booklet")
def booklet(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    course: Named,
    format: Format = None,  # noqa: A002  the name in the address
) -> Response:
    """A course's steps with their lessons in the order in which they come; also before a household starts."""
    home = context.store.version(household)
    has_begun = home is not None
    refuse_others_course(course, home)
    if format is not None:
        paper = choices(context, household).paper if has_begun else "a4"
        return as_pdf("booklet", booklet_of(context, course, paper), "booklet")
    if not has_begun:
        return page(request, "paper/booklet.html", {"booklet": booklet_of(context, course)})

    def view(where: Situation) -> View:
        return "paper/booklet.html", {"booklet": booklet_of(context, course, choices_in(where).paper)}

    return show(request, context, household, view)
