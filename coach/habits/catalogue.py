"""The catalogue as it is looked through: its steps by groups, and those that speak of what was asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.habits.steps import catalogue_beside

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Iterator

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.habits.path_answers import CatalogueStep

MORE_STEPS = "More steps"
"""The title of those that stand in no group."""


@dataclass(frozen=True, slots=True)
class CatalogueGroup:
    """Steps that are shown together."""

    title: str
    steps: tuple[CatalogueStep, ...]


@dataclass(frozen=True, slots=True)
class Catalogue:
    """All optional steps.

    Attributes:
        asked: What was asked for; empty if nothing was.
        found: The ids of the steps that speak of it: all of them if nothing was asked for.
        of: How many there are.
    """

    asked: str
    groups: tuple[CatalogueGroup, ...]
    found: frozenset[str]
    of: int


def searched_in(where: Situation, asked: str) -> Catalogue:
    """The catalogue of a household, with what was asked for."""
    return searched_beside(where.context, where.standing.steps, asked)


def searched_beside(context: Context, known: Container[str], asked: str) -> Catalogue:
    """The catalogue, with what was asked for and with whether a step is among those known already."""
    steps, words = catalogue_beside(context, known), asked.casefold().split()
    groups = tuple(_groups(context, {step.step: step for step in steps}))
    found = frozenset(step.step for step in steps if _speaks_of(step, words))
    return Catalogue(" ".join(asked.split()), groups, found, len(steps))


def _groups(context: Context, steps: dict[str, CatalogueStep]) -> Iterator[CatalogueGroup]:
    left = dict(steps)
    for group in context.library.groups():
        yield CatalogueGroup(group.title, tuple(left.pop(step) for step in group.steps))
    if left:
        yield CatalogueGroup(MORE_STEPS, tuple(left.values()))


def _speaks_of(step: CatalogueStep, words: Iterable[str]) -> bool:
    """Whether each of the words stands in the title, the why, the small version or the cue."""
    text = " ".join(part for part in (step.title, step.why, step.small, step.cue) if part).casefold()
    return all(word in text for word in words)
