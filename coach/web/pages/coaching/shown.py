"""A page for coaches: outside any household, with what was done or what speaks against it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import Path, Request, Response

from coach.errors import SteadingError, Unknown
from coach.web.pages.ways import words
from coach.web.problems import of_error
from coach.web.rendering import page

GroupId = Annotated[str, Path(max_length=100)]
"""A group's id, as an address has it."""


@dataclass(frozen=True, slots=True)
class Happened:
    """What came of a form.

    Attributes:
        said: The key of what was done.
        error: What speaks against what was asked for.
    """

    said: str | None = None
    error: SteadingError | None = None


NOTHING = Happened()


def shown(request: Request, name: str, values: Mapping[str, Any], happened: Happened = NOTHING) -> Response:
    """A template of a coach's page.

    Args:
        request: What is answered.
        name: The template, within `coaching`.
        values: Its values.
        happened: What came of a form.

    Raises:
        Unknown: What a form was about is not there, so there is no page of this kind.
    """
    said, error = happened.said, happened.error
    if isinstance(error, Unknown):
        raise error
    problem = of_error(error) if error else None
    beside = {"said": words(said), "trouble": problem.detail if problem else None}
    return page(request, f"coaching/{name}", {**values, **beside}, problem.status if problem else 200)
