"""What the home plan brings into a calendar: whose turn an area has, dinners, and dues."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from coach.areas.passes import area_days, area_now, is_area_step, passes_before
from coach.areas.rules.forecast import forecast
from coach.areas.rules.passes import close_week, open_on, open_week
from coach.areas.rules.rotation import Mode, spread
from coach.calendar.rules.entries import Entry
from coach.calendar.span import day_begins, written_last
from coach.course.rule import WEEKDAYS
from coach.desk.book import DUE, SEEN_TO, done_key, due_of, dues_between
from coach.ground.weeks import DAYS_IN_WEEK, days_of
from coach.ground.wording import full_date, minutes_words
from coach.kitchen.dinners import KIND as DINNER
from coach.kitchen.dinners import planned_between
from coach.progress.days import ONE_DAY, instant_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date, datetime

    from coach.areas.passes import AreaNow
    from coach.areas.rules.passes import Opening
    from coach.areas.rules.plan import Plan
    from coach.areas.rules.rotation import Turn
    from coach.calendar.span import Span
    from coach.desk.rules.dues import Due

CATCH_UP = "catch-up"
"""The id of a week that goes to the area with the most left, which nobody knows before it opens."""

DISH = "dish"
"""The id of a dinner: a date has one."""

_FORECAST = "A forecast: each week goes to the area that needs it most when it begins."

Turned = tuple[str, str, int]
"""An area's id, its name, and the minutes of its week."""


def area_entries(span: Span) -> Iterator[Entry]:
    """The areas on the days on which the household works in them; without such days on the week's first."""
    now = area_now(span.where)
    if now is None:
        return
    changed, needs = _areas_changed(span), now.opening.plan.rotation.mode is Mode.NEED
    found: dict[tuple[str, str, str], list[date]] = defaultdict(list)
    chosen = [WEEKDAYS.index(name) for name in area_days(span.where)]
    for week, turned in _weeks(span, now):
        for area, name, minutes in turned:
            guess = f"\n{_FORECAST}" if needs and week > now.opening.week else ""
            for day, share in _days(span, week, minutes, chosen):
                found[area, name, f"{minutes_words(share)}{guess}"].append(day)
    for (area, name, text), dates in found.items():
        title = f"Area: {name}" if area != CATCH_UP else name
        yield Entry("areas", area, title, text, changed, tuple(dates))


def _days(span: Span, week: date, minutes: int, chosen: list[int]) -> list[tuple[date, int]]:
    """The dates of a week on which an area is worked in, with its minutes on each."""
    here = [day for day in days_of(week) if span.first <= day <= span.last and day not in span.away]
    if not chosen:
        return [(day, minutes) for day in here[:1]]
    shares = spread(week, minutes, chosen)
    return [(day, shares[day]) for day in here if shares.get(day)]


def _areas_changed(span: Span) -> datetime:
    """When a turn may last have moved: with the areas' plan, days away, or by need with any task done."""
    where, stamps = span.where, span.stamps
    if (now := area_now(where)) is not None and now.opening.plan.rotation.mode is Mode.NEED:
        return written_last(where.home.version)
    steps = [one.step.id for one in where.standing.steps.values() if is_area_step(one.step)]
    decided = (stamps.decided.get(step) for step in ("", *steps))
    found = (day_begins(where, where.standing.started), stamps.areas, stamps.course, *decided)
    return max(at for at in found if at is not None)


def _weeks(span: Span, now: AreaNow) -> Iterator[tuple[date, list[Turned]]]:
    """Every week with the areas that have their turn in it: none in a free week, or if it does not count."""
    for opening in _lived(span, now):
        yield opening.week, _opened(opening)
    yield now.opening.week, _opened(now.opening)
    weeks = (span.last - now.opening.week).days // DAYS_IN_WEEK + 1
    if now.opening.plan.rotation.mode is Mode.NEED:
        ahead = list(forecast(now.passes, now.book, weeks))
        yield from ((opening.week, _opened(opening)) for opening in ahead[1:])
    else:
        yield from ((turn.week, _turned(turn, now.opening.plan)) for turn in now.turns(weeks)[1:])


def _lived(span: Span, now: AreaNow) -> Iterator[Opening]:
    """The weeks before this one, from the first that the calendar reaches into."""
    found = passes_before(span.where, span.first, span.where.today)
    if found is None:
        return
    passes, book = found
    begin = max(span.first, passes.through + ONE_DAY)
    if begin >= now.opening.week:
        return
    opening = open_on(passes, book, begin)
    while opening.week < now.opening.week:
        yield opening
        close_week(passes, opening, book)
        opening = open_week(passes, book)


def _opened(opening: Opening) -> list[Turned]:
    """The areas of a week that has opened; a week that does not count has none."""
    if opening.turn.waits:
        return []
    return [(one.area.id, one.area.name, one.minutes) for one in opening.areas]


def _turned(turn: Turn, plan: Plan) -> list[Turned]:
    """The areas of a week to come."""
    if turn.waits:
        return []
    if turn.catch_up:
        return [(CATCH_UP, "The area with the most left", plan.rotation.minutes_a_week)]
    areas = (plan.areas[place - 1] for place in turn.areas)
    return [(area.id, area.name, minutes) for area, minutes in zip(areas, turn.minutes, strict=True)]


def dinner_entries(span: Span) -> Iterator[Entry]:
    """The dinners that are planned."""
    for day, planned in planned_between(span.where, span.first, span.last):
        if day not in span.away:
            key = day.isoformat()
            changed = span.stamps.plan.get((DINNER, key)) or day_begins(span.where, span.where.today)
            title, text = f"Dinner: {planned.dish.name}", f"At {planned.time:%H:%M}"
            yield Entry("dinner", DISH, title, text, changed, (day,))


def due_entries(span: Span) -> Iterator[Entry]:
    """The dues, on paused days too; what is seen to says so. How much is owed stays at home."""
    where = span.where
    found = dues_between(where, span.first, span.last)
    open_on_dates: dict[str, tuple[Due, list[date]]] = {}
    for one in found.not_seen_to:
        open_on_dates.setdefault(one.due.id, (one.due, []))[1].append(one.on)
    for due_id, (due, dates) in sorted(open_on_dates.items()):
        yield _due_entry(span, due, dates, (DUE, due_id))
    for (due_id, on), value in sorted(found.seen_to.items(), key=lambda item: item[0]):
        was = due_of(due_id, value["due"])
        seen = full_date(on.fromisoformat(value["settled"]))
        yield _due_entry(span, was, [on], (SEEN_TO, done_key(on, due_id)), f"Seen to on {seen}")


def _due_entry(span: Span, due: Due, dates: list[date], key: tuple[str, str], seen: str = "") -> Entry:
    where, stamps = span.where, span.stamps
    # With a time it moves when the household's clock does.
    clock = stamps.decided.get("") if due.at else None
    written = stamps.plan.get(key), clock
    changed = max((at for at in written if at), default=day_begins(where, due.entered))
    begins = tuple(instant_of(day, where.home.zone, due.at) for day in dates) if due.at else ()
    title = f"{due.name}: seen to" if seen else due.name
    return Entry("dues", due.id, title, seen, changed, tuple(dates), begins)
