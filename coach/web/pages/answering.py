"""A page as the answer to a form: with what was done, or with what speaks against it."""

from collections.abc import Callable
from http import HTTPStatus

from fastapi import Request, Response

from coach.errors import SteadingError
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.web.problems import of_error
from coach.web.showing import View, show

BOTH_BELOW = "Somebody else has changed the same, so nothing is saved yet. Both stand side by side below."


def answered(
    request: Request,
    context: Context,
    household: str,
    view: Callable[[Situation], View],
    said: str | None = None,
    error: SteadingError | None = None,
) -> Response:
    """A page with a status of its own and the words that belong above it, as `said` and `trouble`."""
    problem = of_error(error) if error else None
    trouble, status = (problem.detail, problem.status) if problem else (None, HTTPStatus.OK)
    return show(request, context, household, _with_words(view, said, trouble), status)


def clashing(
    request: Request,
    context: Context,
    household: str,
    view: Callable[[Situation], View],
    trouble: str | None = BOTH_BELOW,
) -> Response:
    """A page that shows both texts of what two people changed at once; `trouble` says so above it."""
    return show(request, context, household, _with_words(view, None, trouble), HTTPStatus.CONFLICT)


def _with_words(
    view: Callable[[Situation], View], said: str | None, trouble: str | None
) -> Callable[[Situation], View]:
    def with_words(where: Situation) -> View:
        name, values = view(where)
        return name, {**values, "said": said, "trouble": trouble}

    return with_words
