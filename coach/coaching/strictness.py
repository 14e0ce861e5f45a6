"""How strict a course's rules are: what easier and stricter ones would cost, for its coach to see."""

from __future__ import annotations

from math import comb
from typing import TYPE_CHECKING, NamedTuple

from coach.coaching.group_course import version
from coach.coaching.strictness_answers import CostAt, RuleCost, RuledCourse, Strictness
from coach.course.placeholders import usual_settles
from coach.errors import Malformed
from coach.progress.paces import STANDARD, checked_pace

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.course.model import Course, Settles
    from coach.ground.people import Caller
    from coach.ground.ports import Context
    from coach.pace.comparing import Compared

MOST_SHOWN = 6
"""So many rules stand beside each other on a page."""
MOST_OUTCOMES, MOST_WAYS = 30, 10_000
"""Rules that look at more outcomes, or have more ways to stand, take longer than a page may wait."""
SIMULATED, FARTHEST = 500, 365
"""Households that are followed, and for how many days, where nothing can be said exactly."""
FORTNIGHT = 14

NOTHING_WAITS = "No step of this course waits to settle, so no rule keeps the next one back."
NO_RULE = "At this pace every rule looks at more outcomes than can be worked out. Choose another pace."

Rule = tuple[int, int]


class Wish(NamedTuple):
    """What a coach would like to see.

    Attributes:
        rules: A list such as `2of3,3of4`; blank: the course's own rule and some around it.
        pace: One of the course's; blank: the standard one.
        version: The digest of a version of the group's course; blank: the one that holds.
    """

    rules: str = ""
    pace: str = ""
    version: str = ""


def ruled(context: Context, caller: Caller, group: str, digest: str = "", pace: str = "") -> RuledCourse:
    """The rules of a version of a group's course.

    Args:
        context: Store, lessons and clock.
        caller: Who asks.
        group: The group's id.
        digest: The version; blank: the one that holds.
        pace: The pace for which rules are proposed; one the course has not is taken as the standard one.

    Raises:
        Unknown: The group or the version is not there, or is somebody else's.
    """
    return _ruled(version(context, caller, group, digest).course, pace)


def strictness(context: Context, caller: Caller, group: str, wish: Wish) -> Strictness:
    """What rules cost beside each other, each in the place of what every waiting step of a course asks for.

    Raises:
        Unknown: The group or the version is not there, or is somebody else's.
        Malformed: The rules or the pace are none, or cannot be worked out; or no step of the course waits.
    """
    # NumPy is loaded for who looks at this, and for nobody else.
    from coach.pace import comparing  # noqa: PLC0415

    course = version(context, caller, group, wish.version).course
    pace = checked_pace(wish.pace or STANDARD, course.paces)
    if not any(step.waits for step in course.steps):
        raise Malformed(NOTHING_WAITS)
    rules = comparing.rules_of(wish.rules, MOST_SHOWN) if wish.rules.strip() else usual_rules(course, pace)
    if not rules:
        raise Malformed(NO_RULE)
    asked = comparing.Asked(pace, households=SIMULATED, farthest=FARTHEST, most_states=MOST_WAYS)
    key = ("rules compared", course.digest, pace, tuple(rules))
    found = context.memo.get(key, course.digest, lambda: comparing.compared(course, rules, asked))
    return Strictness(
        group=group,
        course=_ruled(course, pace),
        pace=pace,
        rules=tuple(map(_cost, rules, found)),
        luck_rate=comparing.LUCK_RATE,
        luck_days=comparing.LUCK_DAYS,
        lapsed_by=comparing.LAPSED_BY,
        quiet_begins=asked.quiet.begins,
        quiet_ends=asked.quiet.ends,
        households=asked.households,
        farthest=asked.farthest,
    )


def usual_rules(course: Course, pace: str) -> list[Rule]:
    """The rule of most waiting steps between an easier and a stricter one, and its share of two weeks.

    One kept outcome less of one outcome less is never stricter: among the latest n with k kept, the n - 1
    before the last hold k - 1. Those that cannot be worked out at the pace are left out.
    """
    added = course.paces[pace]
    fitting = (rule for rule in dict.fromkeys(_around(usual_settles(course))) if _fits(rule, added))
    return list(fitting)


def _around(own: Settles) -> Iterator[Rule]:
    kept, of = own.kept, own.of
    if kept > 1:
        yield kept - 1, of - 1
    yield kept, of
    yield kept + 1, of + 1
    yield max(1, FORTNIGHT * kept // of), FORTNIGHT


def _fits(rule: Rule, added: int) -> bool:
    kept, of = rule[0] + added, rule[1] + added
    return of <= MOST_OUTCOMES and comb(of, kept - 1) <= MOST_WAYS


def _ruled(course: Course, pace: str) -> RuledCourse:
    own = usual_settles(course)
    usual = usual_rules(course, pace if pace in course.paces else STANDARD)
    return RuledCourse(
        title=course.title,
        digest=course.digest,
        waiting=sum(step.waits for step in course.steps),
        own=f"{own.kept}of{own.of}",
        usual=",".join(f"{kept}of{of}" for kept, of in usual),
        paces=tuple(course.paces),
        hold=course.hold.at_least,
        hold_over=course.hold.over,
        lapse_after=course.lapse_after,
    )


def _cost(rule: Rule, found: Compared) -> RuleCost:
    at = tuple(CostAt(one.adherence, one.p50, one.p80, one.lapsed) for one in found.at)
    return RuleCost(found.rule, *rule, found.by_luck, found.is_exact, found.lapses_exact, at)
