"""The mark that is offered where what a step is about is done; nothing is ever marked by itself."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass

from coach.course.model import Part
from coach.ground.parts import on_the_list
from coach.ground.situation import Situation
from coach.progress.standing import StepStanding


@dataclass(frozen=True, slots=True)
class Offer:
    """A step that is open today and has no mark, while what it is about is done.

    Attributes:
        on: The household's current date, for marking it kept.
        text: What is done, in a sentence.
    """

    step: str
    title: str
    on: dt.date
    text: str


def offer(where: Situation, place: StepStanding, text: str) -> Offer:
    """The offer of a step's mark."""
    return Offer(place.step.id, place.step.title, where.today, text)


def unmarked(where: Situation, part: Part) -> StepStanding | None:
    """The first step working in a part of the plan that is open today and has no mark."""
    marks = where.standing.marks
    return next((place for place in on_the_list(where, part) if place.step.id not in marks), None)
