"""What the JSON interface takes; the keys of a step are those of a step file (rules §3)."""

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag

from coach.ground.parts import PartName
from coach.habits.answers import MarkName
from coach.habits.hands import Tap
from coach.habits.notes import SlotName
from coach.web.api.fields import WHOLE, Body, Id, Minutes, OneLine, Part, Text, Words, YesNo
from coach.web.dates import Instant, IsoDate

MOST_VERSION = 2**53 - 1
"""The greatest whole number that every program reads as it is written (RFC 7493 §2.2)."""

SEEN_VERSION = (
    "The `version` of the day that the one who marks has seen: another one's newer mark of the line is not "
    "replaced, and the answer is a 409."
)
TAPPED_AT = (
    "When it was tapped, if it is sent later: a mark that was made after that is not replaced. More than 5 "
    "minutes ahead is taken as now."
)
SeenVersion = Annotated[int, Field(ge=0, le=MOST_VERSION), WHOLE]


class TapBody(Body):
    """What a mark says of itself besides."""

    seen_version: SeenVersion | None = Field(None, description=SEEN_VERSION)
    tapped_at: Instant | None = Field(None, description=TAPPED_AT)

    @property
    def tap(self) -> Tap:
        """The same as the use cases take it."""
        return Tap(self.seen_version, self.tapped_at)


class MarkBody(TapBody):
    """A mark for a step on a date."""

    mark: MarkName


class PartMarksBody(TapBody):
    """One mark for all lines of a part of the day that come on most days of a week and have none."""

    slot: SlotName
    mark: MarkName


class StepMarksBody(TapBody):
    """One mark for several steps of a date, or their marks taken back."""

    steps: list[Id] = Field(min_length=1, max_length=100)
    mark: MarkName | None = Field(description="Null takes marks back.")
    only: MarkName | None = Field(None, description="Only where this mark stands; none: whatever stands.")


class PauseBody(Body):
    """A time away."""

    since: IsoDate | None = Field(None, alias="from", description="First date away; none: today.")
    until: IsoDate | None = Field(None, description="Last date away; none: until resumed.")


class ResumeBody(Body):
    """The way back."""

    choice: Literal["all", "one"] | None = Field(
        None, description="How many steps come straight back on the day of return; none: as the rules say."
    )
    since: IsoDate | None = Field(
        None, alias="from", description="First date of a planned pause to call off; none: the way back today."
    )


class Settles(Part):
    """When a step settles: `kept` of its latest `of` outcomes."""

    kept: Annotated[int, Field(ge=1, le=100), WHOLE] = 2
    of: Annotated[int, Field(ge=1, le=100), WHOLE] = 3


class NewStep(Body):
    """A step of the household's own."""

    step: Id | None = Field(None, description="Its id; none: made from the title.")
    title: Words
    why: Text | None = None
    cue: OneLine | None = None
    small: OneLine | None = None
    slot: SlotName = "anytime"
    minutes: Minutes = 5
    repeats: Text = Field("FREQ=DAILY", description="RFC 5545: DAILY, WEEKLY or MONTHLY, no COUNT or UNTIL.")
    after: list[Id] = Field([], max_length=50, description="Each must be settled or set aside first.")
    after_any: list[Id] = Field([], max_length=50, description="If not empty, one of these must be.")
    settles: Settles = Settles()
    waits: YesNo = Field(default=True, description="Whether the next waits until this one settles.")
    caution: Id | None = Field(None, description="A key of the cautions.")
    works_in: PartName | None = Field(None, description="The part of the home plan that it opens.")


class FromCatalogue(Body):
    """A step out of the catalogue."""

    catalogue: Id


def _way(body: object) -> str:
    """By which of the two ways a step is added: what is wrong with it is then said for that way alone."""
    from_catalogue = isinstance(body, FromCatalogue) or (isinstance(body, dict) and "catalogue" in body)
    return "catalogue" if from_catalogue else "step"


AddedStep = Annotated[
    Annotated[NewStep, Tag("step")] | Annotated[FromCatalogue, Tag("catalogue")], Discriminator(_way)
]


class Adjustment(Body):
    """What changes about a step; keys that are left out stay as they are."""

    title: Words = ""
    cue: OneLine | None = None
    small: OneLine | None = None
    slot: SlotName = "anytime"
    minutes: Minutes = 5
    repeats: Text = "FREQ=DAILY"
    settles: Settles = Settles()
