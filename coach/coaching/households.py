"""The households of a group, as far as each lets itself be seen; nothing here reads a log."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.coaching.answers import AskedByName, HouseholdLine, Households, HouseholdView, StepLine, Word
from coach.coaching.groups import coach_day, group_of
from coach.coaching.rules.word import Long, Quiet, reasons
from coach.coaching.titles import catalogue_titles, step_titles
from coach.coaching.wording import reason_text, word_text
from coach.errors import Unknown
from coach.ground.groups import BY_NAME

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from coach.ground.coaching import Counting
    from coach.ground.people import Caller
    from coach.ground.ports import Context
    from coach.ground.questions import Question
    from coach.ground.spells import SeenHousehold, Spell

NOT_SEEN = "There is no such household in this group, or it does not share by name."
STATES = frozenset({"practising", "settled", "resting", "set-aside"})

Spells = dict[str, list["Spell"]]
"""The spells of the course's own steps, by household."""


ON_A_PAGE = 100
"""Households by name that are told of at once, so that a group of ten thousand opens as one of ten does."""


def households(context: Context, caller: Caller, group: str, first: int = 0) -> Households:
    """How many came, who shares by name, and who of those may want a word.

    Args:
        context: Store and clock.
        caller: Who asks.
        group: The group's id.
        first: How many of those by name are passed over.

    Raises:
        Unknown: There is no such group, or it is somebody else's.
    """
    with context.store.coaching_reading() as reading:
        titles = step_titles(context, reading, group_of(reading, caller, group))
    day = coach_day(context)
    with context.store.counting() as counting:
        used, seen = len(counting.enrolments(group)), counting.seen(group, day)
        named = _by_name(seen, day)
        told = named[first : first + ON_A_PAGE]
        spells = _spells(counting, told, titles)
        missing = counting.missing
    return Households(
        used=used,
        by_name=len(named),
        steps=len(titles),
        households=tuple(_line(one, spells, titles) for one in told),
        words=tuple(_words(told, spells, titles)),
        missing=missing,
    )


def household(context: Context, caller: Caller, group: str, household: str) -> HouseholdView:
    """What one of them lets its coach see by name, and nothing else.

    Raises:
        Unknown: The group is not the caller's, or the household does not share by name.
    """
    with context.store.coaching_reading() as reading:
        titles = step_titles(context, reading, group_of(reading, caller, group))
        asked = [one for one in reading.questions(group, household) if one.with_name]
    day = coach_day(context)
    with context.store.counting() as counting:
        found = next((one for one in _by_name(counting.seen(group, day), day) if _id(one) == household), None)
        if found is None:
            raise Unknown(NOT_SEEN)
        spells = _spells(counting, (found,), titles).get(household, [])
    return view_of(found, spells, titles, asked, catalogue_titles(context))


def view_of(
    seen: SeenHousehold,
    spells: Iterable[Spell],
    titles: Mapping[str, str],
    asked: Iterable[Question],
    optional: Mapping[str, str],
) -> HouseholdView:
    """What a household by name lets its coach see; its own page of what it shares is made by this too.

    Args:
        seen: The household with what is saved of its days.
        spells: Its spells.
        titles: The titles of the course's own steps; of any other step nothing is told.
        asked: What it asked with its name.
        optional: The titles of the catalogue's steps, which a question may be about.
    """
    enrolment, followed = seen
    return HouseholdView(
        household=enrolment.household,
        name=enrolment.name,
        phase=followed.phase if followed else None,
        last_mark=followed.last_mark if followed else None,
        through=followed.through if followed else None,
        steps=tuple(_steps(spells, titles)),
        questions=tuple(_asked(asked, {**optional, **titles})),
    )


def _by_name(seen: Iterable[SeenHousehold], day: date) -> tuple[SeenHousehold, ...]:
    """Those that share by name, in the order of their names, so that none stands above another."""
    named = [one for one in seen if one.enrolment.seen_on(day) == BY_NAME]
    return tuple(sorted(named, key=lambda one: (one.enrolment.name.casefold(), _id(one))))


def _id(seen: SeenHousehold) -> str:
    return seen.enrolment.household


def _spells(counting: Counting, named: Sequence[SeenHousehold], titles: Mapping[str, str]) -> Spells:
    """The spells of some households with steps of the course; of any other step nothing is told."""
    found: Spells = {}
    if named:
        for whose, spell in counting.spells([_id(one) for one in named]):
            if spell.step in titles:
                found.setdefault(whose, []).append(spell)
    return found


def _line(seen: SeenHousehold, spells: Spells, titles: Mapping[str, str]) -> HouseholdLine:
    enrolment, followed = seen
    those = spells.get(enrolment.household, [])
    latest = max(those, key=lambda one: one.entered_on, default=None)
    return HouseholdLine(
        household=enrolment.household,
        name=enrolment.name,
        phase=followed.phase if followed else None,
        last_mark=followed.last_mark if followed else None,
        through=followed.through if followed else None,
        came=len(those),
        settled=sum(one.state == "settled" for one in those),
        latest=titles[latest.step] if latest else "",
    )


def _words(named: Iterable[SeenHousehold], spells: Spells, titles: Mapping[str, str]) -> Iterator[Word]:
    for enrolment, followed in named:
        if followed is None:
            continue
        found = tuple(reasons(followed, spells.get(enrolment.household, ())))
        if found:
            quiet = next((one for one in found if isinstance(one, Quiet)), None)
            long = tuple(titles[one.step] for one in found if isinstance(one, Long))
            said = tuple(reason_text(one, titles[one.step] if isinstance(one, Long) else "") for one in found)
            yield Word(enrolment.household, enrolment.name, said, word_text(enrolment.name, quiet, long))


def _steps(spells: Iterable[Spell], titles: Mapping[str, str]) -> Iterator[StepLine]:
    for one in spells:
        if one.state in STATES and one.step in titles:
            # The saved state is one of these words, as was just looked at.
            yield StepLine(one.step, titles[one.step], one.state, one.entered_on, one.settled_on)  # type: ignore[arg-type]


def _asked(asked: Iterable[Question], titles: Mapping[str, str]) -> Iterator[AskedByName]:
    for one in asked:
        yield AskedByName(
            one.id, one.step, titles.get(one.step, ""), one.text, one.asked_at, answered=bool(one.answer)
        )
