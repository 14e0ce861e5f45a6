"""Hypothesis strategies for small random courses, in the form the second reading takes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hypothesis import strategies as st

if TYPE_CHECKING:
    from hypothesis.strategies import DrawFn, SearchStrategy

    from property.plain_course import Course

NAMES = ("bed", "cups", "door", "floor", "lamp", "post", "sink", "towel")
ADDED = ("window", "yard")
PACES = {"standard": 0, "gentle": 1, "slow": 2}
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


def former_ids(name: str) -> list[str]:
    """The ids a step of a drawn course had in earlier versions."""
    return [f"{name}-of-old", f"{name}-of-late"]


def daily_rules() -> SearchStrategy[str]:
    return st.sampled_from(["FREQ=DAILY", "FREQ=DAILY", "FREQ=DAILY", "FREQ=DAILY;INTERVAL=2"])


def weekly_rules() -> SearchStrategy[str]:
    days = st.lists(st.sampled_from(WEEKDAYS), min_size=1, max_size=4, unique=True)
    every = st.builds("FREQ=WEEKLY;INTERVAL={}".format, st.integers(1, 3))
    plain = st.one_of(st.just("FREQ=WEEKLY"), every)
    return st.one_of(plain, st.builds(lambda rule, on: f"{rule};BYDAY={','.join(on)}", plain, days))


def monthly_rules() -> SearchStrategy[str]:
    parts = ["", ";BYMONTHDAY=31", ";BYMONTHDAY=31", ";BYMONTHDAY=15,30", ";BYMONTHDAY=-1"]
    parts += [";BYDAY=1FR", ";BYDAY=1SU,-1SU", ";BYDAY=-2MO", ";BYDAY=TU,WE,TH;BYSETPOS=3"]
    return st.sampled_from(parts).map("FREQ=MONTHLY{}".format)


def rules() -> SearchStrategy[str]:
    """Draw recurrence rules: half of them daily, the rest every few days, weekly or monthly."""
    spaced = st.builds("FREQ=DAILY;INTERVAL={}".format, st.integers(2, 10))
    return st.one_of(daily_rules(), daily_rules(), daily_rules(), weekly_rules(), monthly_rules(), spaced)


@st.composite
def settles(draw: DrawFn) -> dict[str, int]:
    """Draw what a step needs to settle: up to 5 kept of the latest 7."""
    of = draw(st.sampled_from([1, 2, 3, 3, 4, 5, 7]))
    return {"kept": draw(st.integers(1, min(of, 5))), "of": of}


def some_of(names: list[str]) -> SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(names), max_size=2, unique=True) if names else st.just([])


@st.composite
def definitions(draw: DrawFn, earlier: list[str]) -> dict[str, Any]:
    """Draw the keys of one step file; what it comes after is drawn from the earlier names."""
    root = draw(st.integers(0, 2)) == 0
    return {
        "title": draw(st.sampled_from(["Make the bed", "Wipe the sink", "Clear the door"])),
        "why": None,
        "cue": draw(st.sampled_from([None, "after getting up"])),
        "small": draw(st.sampled_from([None, "one corner"])),
        "slot": draw(st.sampled_from(["anytime", "morning", "evening"])),
        "minutes": draw(st.integers(1, 20)),
        "repeats": draw(rules()),
        "after": [] if root else draw(some_of(earlier)),
        "after_any": [] if root else draw(some_of(earlier)),
        "settles": draw(settles()),
        "waits": draw(st.sampled_from([True, True, False])),
        "caution": None,
    }


@st.composite
def courses(draw: DrawFn) -> Course:
    """Draw a course of 1 to 8 steps: a graph without cycles, in an order that need not follow the graph."""
    names = list(NAMES[: draw(st.integers(1, len(NAMES)))])
    steps = [
        {"id": name, "lessons": draw(st.integers(0, 5)), "formerly": former_ids(name)}
        | draw(definitions(names[:place]))
        for place, name in enumerate(names)
    ]
    return {
        "title": "A small course",
        "ramp_days": 10_000,
        "at_once": draw(st.integers(1, 3)),
        "lapse_after": draw(st.integers(2, 9)),
        "hold": {
            "at_least": draw(st.sampled_from([0.6, 0.5, 0.9])),
            "over": draw(st.sampled_from([7, 2, 4])),
        },
        "return": {
            "half_life": draw(st.sampled_from([14, 3, 7])),
            "good_day": draw(st.sampled_from([0.6666666667, 0.5, 1.0])),
        },
        "strength": {
            "days_to_95": draw(st.sampled_from([66, 18])),
            "half_life_missed": draw(st.sampled_from([46, 5])),
        },
        "paces": PACES,
        "steps": steps if draw(st.booleans()) else draw(st.permutations(steps)),
    }


def roots(course: Course) -> list[str]:
    return [step["id"] for step in course["steps"] if not step["after"] and not step["after_any"]]
