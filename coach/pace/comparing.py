"""What stricter or easier rules cost: days to finish, what settles by luck, and how many lapse meanwhile."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from coach.course.model import Settles
from coach.course.rule import rule_of
from coach.errors import Malformed
from coach.pace.block import fresh
from coach.pace.conduct import Same
from coach.pace.distribution import one_after_the_other
from coach.pace.exact import check_adherence, in_turn
from coach.pace.falls import days_from
from coach.pace.following import Follower
from coach.pace.lapsing import lapsed_within
from coach.pace.rulebook import rulebook_at
from coach.pace.settling import MOST_OUTCOMES, MOST_STATES, check_kept, settled_within, settling, states
from coach.progress.paces import STANDARD, checked_pace
from coach.progress.ramp import A_MONDAY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from coach.course.model import Course, Step

ADHERENCES = (0.6, 0.7, 0.8, 0.9)
"""The chances of keeping a due day at which rules are compared."""
LUCK_RATE, LUCK_DAYS = 0.4, 28
"""A step that is really kept on two days of five settles by luck; how often it does so within four weeks."""
LAPSED_BY = 60
HOUSEHOLDS = 2000
FARTHEST = 730
"""For so many days households are followed where days to finish cannot be said exactly."""
BEGINS, ENDS = 0.02, 0.1
"""Chances, each day, that a quiet time begins and that it ends, where nothing else is said."""
MOST_RULES = 12

LONGEST = 200
"""Characters of a list of rules."""

_RULE = re.compile(r"([0-9]{1,3}) *of *([0-9]{1,3})", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Quiet:
    """How quiet times come and go.

    Attributes:
        begins: The chance, each day, that a household which marks falls quiet.
        ends: The chance, each day, that one which is quiet marks again.
    """

    begins: float = BEGINS
    ends: float = ENDS


@dataclass(frozen=True, slots=True)
class AtAdherence:
    """What a rule costs somebody who keeps so much.

    Attributes:
        adherence: The chance of keeping a due day.
        p50: The day by which one in two is through; None beyond what can be said.
        p80: The day by which eight in ten are.
        lapsed: The share that has lapsed by day 60.
    """

    adherence: float
    p50: int | None
    p80: int | None
    lapsed: float


@dataclass(frozen=True, slots=True)
class Compared:
    """One rule beside others.

    Attributes:
        rule: As it was written: `2of3`.
        by_luck: The chance that a step kept on two days of five settles within 28 of them.
        at: What it costs at each adherence.
        is_exact: Whether the days to finish are worked out and not simulated.
        lapses_exact: Whether the shares that lapse are.
    """

    rule: str
    by_luck: float
    at: tuple[AtAdherence, ...]
    is_exact: bool
    lapses_exact: bool


def rules_of(text: str, most: int = MOST_RULES) -> list[tuple[int, int]]:
    """The rules of a list such as `2of3,3of4` or `2 of 3, 3 of 4`.

    Args:
        text: The list.
        most: So many rules are taken.

    Raises:
        Malformed: It is none, or names one twice, one that cannot be kept, or too many.
    """
    if len(text) > LONGEST:
        raise Malformed(
            f"A list of {len(text)} characters is too long to be one of rules; {LONGEST} are enough."
        )
    rules = []
    for part in text.split(","):
        match = _RULE.fullmatch(part.strip())
        if match is None:
            raise Malformed(f"“{part.strip()}” is no rule. Write rules like this: 2of3,3of4,5of7")
        rule = int(match[1]), int(match[2])
        check_kept(*rule)
        if rule in rules:
            raise Malformed(f"{rule[0]} of {rule[1]} is named twice. Name it once.")
        rules.append(rule)
    if len(rules) > most:
        raise Malformed(f"{len(rules)} rules are too many to look at beside each other; name {most} at most.")
    return rules


@dataclass(frozen=True, slots=True)
class Asked:
    """What rules are compared for.

    Attributes:
        pace: A pace of the course, which adds to both numbers of every rule.
        adherences: The chances of keeping a due day.
        quiet: How quiet times come and go, where lapses are counted.
        households: How many are followed for each figure that is simulated.
        seed: Of the numbers that are drawn.
        farthest: For so many days they are followed.
        most_states: A rule whose chain has more is refused; each costs time and memory.
    """

    pace: str = STANDARD
    adherences: tuple[float, ...] = ADHERENCES
    quiet: Quiet = Quiet()
    households: int = HOUSEHOLDS
    seed: int = 1
    farthest: int = FARTHEST
    most_states: int = MOST_STATES


def compared(course: Course, rules: Sequence[tuple[int, int]], asked: Asked) -> list[Compared]:
    """Each rule in the place of what every waiting step of a course asks for.

    Days to finish are those of a household that marks every day: worked out exactly where the course has no
    hold and lets them be, else simulated by all its rules. Lapses are reckoned with quiet times, and exactly
    where households begin with a daily step. What is simulated draws the same numbers for every rule, so that
    two do not differ by chance.

    Raises:
        Malformed: The course has no such pace, what is to be a chance is none, or a rule at this pace cannot
            be followed exactly.
    """
    added = course.paces[checked_pace(asked.pace, course.paces)]
    for adherence in asked.adherences:
        check_adherence(adherence)
    for rule in rules:
        _check(rule, added, asked.most_states)
    return [_compared(course, rule, added, asked) for rule in rules]


def _check(rule: tuple[int, int], added: int, most_states: int) -> None:
    kept, of = rule[0] + added, rule[1] + added
    named = f"{rule[0]} of {rule[1]}" + (f", at this pace {kept} of {of}," if added else "")
    if of > MOST_OUTCOMES:
        raise Malformed(f"{named} looks at more than {MOST_OUTCOMES} outcomes. Name a rule of fewer.")
    if states(kept, of) > most_states:
        raise Malformed(
            f"{named} has {states(kept, of):,} ways to stand between its first day and its last, more "
            "than can be worked out here. Name a rule of fewer outcomes."
        )


def _compared(course: Course, rule: tuple[int, int], added: int, asked: Asked) -> Compared:
    steps = (replace(step, settles=Settles(*rule)) if step.waits else step for step in course.steps)
    changed = replace(course, steps=tuple(steps))
    kept, of = rule[0] + added, rule[1] + added
    days, is_exact = _finishing(changed, kept, of, asked)
    lapsed, lapses_exact = _lapsed(changed, asked)
    return Compared(
        rule=f"{rule[0]}of{rule[1]}",
        by_luck=settled_within(kept, of, LUCK_RATE, LUCK_DAYS),
        at=tuple(map(AtAdherence, asked.adherences, days[0.5], days[0.8], lapsed)),
        is_exact=is_exact,
        lapses_exact=lapses_exact,
    )


def _finishing(
    course: Course, kept: int, of: int, asked: Asked
) -> tuple[dict[float, list[int | None]], bool]:
    """The days by which one in two and eight in ten are through at each adherence; whether they are exact.

    What is exact leaves holds out, and they keep back most where a rule is easy and little is kept. Every
    waiting step has the same rule, so that what one takes is worked out once (`coach/pace/exact.py`).
    """
    if course.hold.at_least > 0:
        return _simulated(course, asked), False
    try:
        steps = len(in_turn(course, asked.pace))
    except Malformed:
        return _simulated(course, asked), False
    found = [one_after_the_other([settling(kept, of, chance)] * steps) for chance in asked.adherences]
    return {share: [days.quantile(share) for days in found] for share in (0.5, 0.8)}, True


def _simulated(course: Course, asked: Asked) -> dict[float, list[int | None]]:
    side = _Side(course, asked, asked.farthest, Quiet(0, 0))
    found: dict[float, list[int | None]] = {share: [None] * len(asked.adherences) for share in (0.5, 0.8)}
    for day in range(asked.farthest):
        side.live(day)
        through = side.shares(side.block.waiting_left(side.rules) == 0)
        for share, days in found.items():
            days[:] = [
                day + 1 if already is None and reached >= share else already
                for already, reached in zip(days, through, strict=True)
            ]
        if None not in found[0.8]:
            break
    return found


def _lapsed(course: Course, asked: Asked) -> tuple[list[float], bool]:
    """The share of households that have lapsed by day 60, at each adherence; whether it is exact.

    A lapse that the close of day 60 brings about begins on the day after.
    Who is not quiet marks the list, kept or missed. While a daily step is on it there is one every day, so
    that until the first lapse nothing but quiet days counts: neither the rule nor the adherence does.
    """
    if rule_of(_first(course).repeats).is_daily:
        share = lapsed_within(LAPSED_BY, course.lapse_after, asked.quiet.begins, asked.quiet.ends)
        return [share] * len(asked.adherences), True
    side = _Side(course, asked, LAPSED_BY, asked.quiet)
    lapsed = np.zeros(side.block.households, bool)
    for day in range(LAPSED_BY - 1):
        side.live(day)
        lapsed |= side.block.lapsed
    return side.shares(lapsed), False


def _first(course: Course) -> Step:
    """The step that households begin with."""
    return next(step for step in course.steps if step.is_root)


class _Side:
    """The same households once at each adherence, side by side in one block, drawing the same numbers."""

    def __init__(self, course: Course, asked: Asked, days: int, quiet: Quiet) -> None:
        first = course.steps.index(_first(course))
        self.rules = rulebook_at(course, asked.pace)
        self.sides = len(asked.adherences)
        households = asked.households * self.sides
        self.block = fresh(self.rules, households, days)
        self._follower = Follower(self.rules, days_from(A_MONDAY, days), first)
        adherence = np.repeat(np.array(asked.adherences, np.float32), asked.households)
        self._chances = Same(adherence, quiet.begins, quiet.ends)
        self._generator = np.random.Generator(np.random.SFC64(np.random.SeedSequence(asked.seed)))
        self._drawn = np.empty((self.rules.size + 1, asked.households), np.float32)
        self._quiet = np.zeros(households, bool)

    def live(self, day: int) -> None:
        """Let them live through a day."""
        self._generator.random(dtype=np.float32, out=self._drawn)
        drawn = np.tile(self._drawn, self.sides)
        self._quiet = self._follower.day(self.block, day, self._chances, drawn, self._quiet).quiet

    def shares(self, which: NDArray[np.bool_]) -> list[float]:
        """The share of households at each adherence."""
        shares: list[float] = which.reshape(self.sides, -1).mean(axis=1).tolist()
        return shares
