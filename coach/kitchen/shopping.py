"""The shopping list: what the coming dinners need and what was written on it, ticked at home or in the shop.

A tick is for what stood on the list when it was made: for dinners, named by date with the line they had, and
for the lines somebody wrote, as they were then. So what is planned or written later, or changes, comes back,
and nothing that is still wanted is hidden by an old tick.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

from coach.course.shapes import required, shape
from coach.errors import Malformed
from coach.ground.plan_rows import Asked, dated_keys
from coach.ground.situation import looking
from coach.ground.writing import Decision, to_plan, written
from coach.kitchen import free_lines
from coach.kitchen.answers import Shopping, ShoppingItem
from coach.kitchen.dinners import KIND as DINNER
from coach.kitchen.dinners import planned_between
from coach.kitchen.rules.amounts import UNITS, ingredient_of
from coach.kitchen.rules.dinner import Dinner
from coach.kitchen.rules.shopping import as_text, shopping_list

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.kitchen.answers import TickName
    from coach.kitchen.rules.shopping import ShoppingLine

KIND = "at-home"
USUAL_DAYS = 7
MOST_DAYS = 31
# A dinner counts for its household day, whatever the hour.
_NOON = time(12)


_TICKS = shape({str: {str: str}})


def shopping(context: Context, household: str, days: int = USUAL_DAYS) -> Shopping:
    """The list of the coming days.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        days: How many, today included.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: These are too few or too many days.
    """
    check_days(days)
    with looking(context, household) as where:
        return shopping_in(where, days)


def shopping_in(where: Situation, days: int) -> Shopping:
    """The list of the coming days, out of a situation."""
    return _List(where, days).view()


def tick(
    context: Context, household: str, key: str, ticked: TickName | None, days: int = USUAL_DAYS
) -> Shopping:
    """Tick a line as at home or in the basket, or take its tick back; the same again changes nothing.

    A tick is for what is still needed; taking it back puts the whole line back on the list. A line that is on
    no list of these days is left alone: it may have been changed meanwhile.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        key: The line's.
        ticked: None takes the tick back.
        days: Those of the list it was ticked on.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: These are too few or too many days.
    """
    check_days(days)

    def decide(where: Situation) -> Decision[None]:
        return to_plan(_List(where, days).ticking(key, ticked))

    return written(context, household, decide, lambda where, _: shopping_in(where, days))


def check_days(days: int) -> None:
    """Refuse a number of days that no list is for.

    Raises:
        Malformed: These are too few or too many days.
    """
    if not 1 <= days <= MOST_DAYS:
        raise Malformed(f"A shopping list is for 1 to {MOST_DAYS} days, not {days}.")


class _List:
    """The list of some days as it stands in a plan."""

    def __init__(self, where: Situation, days: int) -> None:
        self._plan = where
        self._days = days
        self._first = where.today
        self._last = where.today + min(timedelta(days=days - 1), date.max - where.today)
        dinners = dated_keys(self._first, self._last)
        where.plan.fetch([Asked(DINNER, *dinners), Asked(KIND), Asked(free_lines.KIND)])
        self._dinners = [
            Dinner(datetime.combine(on, _NOON), planned.dish)
            for on, planned in planned_between(where, self._first, self._last)
        ]
        self._free = free_lines.kept(where)
        self._rows = where.plan.read(KIND, _ticks)
        self._ticks = _by_thing(self._rows)

    def view(self) -> Shopping:
        """The list for pages and JSON."""
        to_buy = self._lines(None)
        return Shopping(
            days=self._days,
            first=self._first,
            last=self._last,
            to_buy=_items(to_buy, None),
            in_basket=_items(self._lines("in-basket"), "in-basket"),
            at_home=_items(self._lines("at-home"), "at-home"),
            planned=len(self._dinners),
            text=as_text(to_buy),
        )

    def ticking(self, key: str, ticked: TickName | None) -> list[PlanRow]:
        """The rows that tick what a line still needs, or that take its ticks back."""
        return [*self._ticking_dinners(key, ticked), *self._ticking_free(key, ticked)]

    def _ticking_dinners(self, key: str, ticked: TickName | None) -> list[PlanRow]:
        """One row for all ticks of a thing, in the place of those kept under the keys of earlier versions."""
        value = self._ticked_also(key, ticked) if ticked else None
        earlier = [row for row in self._rows if row != key and _key_now(row) == key]
        gone = [self._plan.row(KIND, row, None) for row in earlier]
        is_same = not gone and value == self._rows.get(key)
        return [] if is_same else [*gone, self._plan.row(KIND, key, value)]

    def _ticking_free(self, key: str, ticked: TickName | None) -> list[PlanRow]:
        """A row for each line somebody wrote that gets a tick or loses it; one that has a tick keeps it."""
        return [
            free_lines.row(self._plan, replace(line, tick=ticked))
            for line in self._free
            if _key(line.text) == key and line.tick != ticked and (line.tick is None or ticked is None)
        ]

    def _ticked_also(self, key: str, ticked: TickName) -> dict[str, dict[str, str]] | None:
        """The ticks of a line with one more for every dinner that has none; those of past days fall away."""
        begin = self._first.isoformat()
        value = {
            tick: {on: line for on, line in lines.items() if on >= begin}
            for tick, lines in self._ticks.get(key, {}).items()
        }
        for dinner in self._dinners:
            line = _said(dinner, key)
            if line and self._tick_of(dinner, key) is None:
                value.setdefault(ticked, {})[_on(dinner)] = line
        return {tick: lines for tick, lines in value.items() if lines} or None

    def _lines(self, ticked: TickName | None) -> tuple[ShoppingLine, ...]:
        """The lines of one tick, or of none."""
        dinners = [self._with(dinner, ticked) for dinner in self._dinners]
        return shopping_list(dinners, [line for line in self._free if line.tick == ticked])

    def _with(self, dinner: Dinner, ticked: TickName | None) -> Dinner:
        """The dinner with only those ingredients whose lines have this tick."""
        lines = tuple(line for line in dinner.dish.ingredients if self._tick_of(dinner, _key(line)) == ticked)
        return replace(dinner, dish=replace(dinner.dish, ingredients=lines))

    def _tick_of(self, dinner: Dinner, key: str) -> str | None:
        """The tick that an ingredient of a dinner has, if it was made for the line as it now stands."""
        ticks: Mapping[str, Mapping[str, str]] = self._ticks.get(key, {})
        on, line = _on(dinner), _said(dinner, key)
        return next((tick for tick, lines in ticks.items() if lines.get(on) == line), None)


def _ticks(_key: str, value: dict[str, dict[str, str]]) -> dict[str, dict[str, str]]:
    required(value, _TICKS)
    return value


def _by_thing(rows: Mapping[str, dict[str, dict[str, str]]]) -> dict[str, dict[str, dict[str, str]]]:
    """The ticks of every thing, those under the keys of earlier versions too."""
    found: dict[str, dict[str, dict[str, str]]] = {}
    for row, ticks in rows.items():
        for key in {row, _key_now(row)}:
            for tick, lines in ticks.items():
                found.setdefault(key, {}).setdefault(tick, {}).update(lines)
    return found


def _key_now(row: str) -> str:
    """The thing that a row is about; earlier versions wrote its unit and a bar before it."""
    unit, bar, thing = row.partition("|")
    return thing if bar and (not unit or unit in UNITS) else row


def _on(dinner: Dinner) -> str:
    return dinner.at.date().isoformat()


@lru_cache(maxsize=4096)
def _key(line: str) -> str:
    """The key of a line; no line of a dish and none that somebody wrote is empty."""
    ingredient = ingredient_of(line)
    return ingredient.key if ingredient else ""


def _said(dinner: Dinner, key: str) -> str:
    """All that a dinner says of one ingredient; empty if nothing."""
    return "; ".join(line for line in dinner.dish.ingredients if _key(line) == key)


def _items(lines: tuple[ShoppingLine, ...], ticked: TickName | None) -> tuple[ShoppingItem, ...]:
    return tuple(
        ShoppingItem(
            key=line.key,
            text=line.text,
            dinners=tuple(dict.fromkeys(dinner.dish.name for dinner in line.dinners)),
            dates=tuple(dinner.at.date() for dinner in line.dinners),
            written=tuple(free_lines.view(one) for one in line.written),
            tick=ticked,
        )
        for line in lines
    )
