"""Hypothesis strategies for small homes, in the form the second reading takes."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from hypothesis import strategies as st

if TYPE_CHECKING:
    from hypothesis.strategies import DrawFn, SearchStrategy

WEEKS = 26
IN_ORDER = ("continuous", "month")
starts = st.dates(date(2024, 1, 1), date(2030, 12, 31))


@st.composite
def homes(
    draw: DrawFn, *, every: bool = True, most_areas: int = 6, modes: tuple[str, ...] = IN_ORDER
) -> dict[str, Any]:
    """Draw a home of a few areas with short lists; `every` lets tasks have days between."""
    numbers = st.integers(1, 3) if draw(st.booleans()) else st.integers(1, most_areas)
    areas = [draw(task_lists(f"a{place}", every=every)) for place in range(draw(numbers))]
    return {
        "areas": areas,
        "mode": draw(st.sampled_from(modes)),
        "week_starts": draw(st.sampled_from(["monday", "sunday"])),
        "start": draw(starts),
        "first": draw(st.integers(1, len(areas))),
        "minutes": draw(st.sampled_from([60, 60, 30, 45, 7])),
        "way": draw(st.sampled_from(["list", "spot", "both"])),
        "spot": draw(st.sampled_from([10, 10, 5, 30])),
    }


@st.composite
def task_lists(draw: DrawFn, prefix: str, *, every: bool) -> list[dict[str, Any]]:
    """Draw an area's tasks, in order."""
    days = st.sampled_from([None, None, 1, 7, 14, 30, 100]) if every else st.none()
    minutes = st.sampled_from([5, 10, 10, 15, 20, 30, 60, 90])
    count = draw(st.integers(0, 7))
    return [{"id": f"{prefix}-{n}", "minutes": draw(minutes), "every": draw(days)} for n in range(count)]


@st.composite
def absences(draw: DrawFn, start: date) -> set[date]:
    """Draw stretches of days away, some of them longer than a week or two."""
    days: set[date] = set()
    stretches = st.tuples(st.integers(-7, WEEKS * 7), st.sampled_from([1, 6, 7, 8, 13, 14, 20, 30]))
    for first, count in draw(st.lists(stretches, max_size=4)):
        days.update(start + timedelta(days=first + n) for n in range(count))
    return days


@st.composite
def marks(draw: DrawFn, home: dict[str, Any]) -> dict[date, list[str]]:
    """Draw dates on which tasks were done, in and out of their areas' weeks, some before the start."""
    ids = [task["id"] for area in home["areas"] for task in area]
    if not ids:
        return {}
    done: dict[date, list[str]] = {}
    one = st.tuples(
        st.integers(-20, WEEKS * 7), st.lists(st.sampled_from(ids), min_size=1, max_size=6, unique=True)
    )
    for ahead, tasks in draw(st.lists(one, max_size=40)):
        done.setdefault(home["start"] + timedelta(days=ahead), tasks)
    return done


def cases(*modes: str) -> SearchStrategy[tuple[dict[str, Any], dict[date, list[str]], set[date]]]:
    """Draw a home with what was done in it and when nobody was there."""
    return homes(modes=modes or IN_ORDER).flatmap(
        lambda home: st.tuples(st.just(home), marks(home), absences(home["start"]))
    )
