"""A page as the answer to a form: with what was done, or with what speaks against it."""

from collections.abc import Mapping

from fastapi import Request, Response

from coach.errors import SteadingError
from coach.web.problems import of_error
from coach.web.rendering import page


def answered(
    request: Request,
    name: str,
    values: Mapping[str, object],
    said: str | None = None,
    error: SteadingError | None = None,
) -> Response:
    """A page with a status of its own and the words that belong above it, as `said` and `trouble`."""
    problem = of_error(error) if error else None
    around = {"said": said, "trouble": problem.detail if problem else None}
    return page(request, name, {**values, **around}, problem.status if problem else 200)
