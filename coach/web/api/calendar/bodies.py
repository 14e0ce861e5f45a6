"""What the JSON interface takes about calendar feeds."""

from typing import Annotated

from fastapi import Path
from pydantic import Field

from coach.calendar.answers import USUAL
from coach.ground.sending import FeedKind
from coach.web.api.fields import Body
from coach.web.api.people.bodies import PersonName

Holds = Annotated[
    list[FeedKind],
    Field(
        min_length=1,
        max_length=20,
        description="What it holds: `jobs`, `areas`, `dinner`, `dues`, `routines`.",
    ),
]

FeedId = Annotated[str, Path(description="Its `id`, as the list has it.", max_length=100)]


class FeedBody(Body):
    """A feed to be made."""

    name: PersonName = Field(description="What it is called.", examples=["Ana's calendar"])
    holds: Holds = Field(list(USUAL), validate_default=True)


class FeedChangeBody(Body):
    """What is to be another with a feed; what is not named stays."""

    name: PersonName | None = Field(None, description="What it is called.")
    holds: Holds | None = None
