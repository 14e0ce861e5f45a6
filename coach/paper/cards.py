"""The day cards: the list of each part of the day, with cues, to hang where it happens."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import TYPE_CHECKING, Literal

from coach.course.recurrence import in_words
from coach.course.rule import rule_of
from coach.ground.cautions import caution_view
from coach.ground.situation import looking
from coach.habits.hours import SLOTS
from coach.habits.wording import SLOT_WORDS
from coach.paper.answers import Card, CardLine, Cards
from coach.paper.rules.cards import filled, space
from coach.progress.standing import ON_THE_LIST

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.course.model import Step
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.habits.notes import SlotName
    from coach.paper.answers import PaperName
    from coach.paper.rules.cards import Space


def cards(context: Context, household: str, per_page: Literal[2, 4] = 4, paper: PaperName = "a4") -> Cards:
    """The day cards of the present list.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        per_page: How many share a page.
        paper: What they are printed on.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return cards_in(where, per_page, paper)


def cards_in(where: Situation, per_page: Literal[2, 4] = 4, paper: PaperName = "a4") -> Cards:
    """The same out of a situation."""
    found = (card for slot in SLOTS for card in _of_part(where, slot, per_page, paper))
    return Cards(tuple(found), paper, per_page)


def _of_part(where: Situation, slot: SlotName, per_page: Literal[2, 4], paper: PaperName) -> Iterator[Card]:
    """The cards of a part of the day, further ones where its list is long; none where nothing is on it."""
    steps = (place.step for place in where.standing.steps.values() if place.state in ON_THE_LIST)
    lines = [_line(where, step) for step in steps if step.slot.value == slot]
    room = space(paper, per_page)
    parts = list(filled(lines, lambda line: room.takes(line.title, below(line)), room.height))
    for number, part in enumerate(parts, 1):
        yield Card(slot, SLOT_WORDS[slot], tuple(with_cautions(part, room)), number, len(parts))


def with_cautions(lines: tuple[CardLine, ...], room: Space) -> Iterator[CardLine]:
    """The lines of a card; as many cautions with their whole text as what is left of it has room for."""
    left = room.height - sum(room.takes(line.title, below(line)) for line in lines)
    for line in lines:
        needs = room.takes_care(line.caution.text) if line.caution else inf
        fits = needs <= left
        left -= needs if fits else 0
        yield replace(line, caution_fits=fits)


def below(line: CardLine) -> tuple[str, ...]:
    """What stands below a line's title, row by row, as every rendering writes it."""
    moment = " · ".join(text for text in (line.days, line.cue) if text)
    small = f"Small version: {line.small}" if line.small else ""
    care = f"Take care: {line.caution.title}" if line.caution else ""
    return tuple(text for text in (moment, small, care) if text)


def _line(where: Situation, step: Step) -> CardLine:
    return CardLine(
        step=step.id,
        title=step.title,
        cue=step.cue,
        small=step.small,
        minutes=step.minutes,
        days="" if rule_of(step.repeats).is_daily else in_words(step.repeats),
        caution=caution_view(where.context.library, step.caution),
    )
