"""Hypothesis strategies for courses and for the logs of households that live with them for some weeks.

A log is drawn in stretches of days, each lived in one manner (all kept, some missed, away, nothing at
all ...). What is due on a day is looked up in the second reading, so that ordinary days look ordinary;
stray marks, late corrections and every other kind of row are strewn between.
"""

from __future__ import annotations

import copy
import json
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any, NamedTuple

from hypothesis import strategies as st

from property.course_strategies import ADDED, PACES, courses, definitions, roots, rules, settles
from property.plain_course import Course, happened
from property.plain_log import MARKS, Row
from property.second_reading import Household

if TYPE_CHECKING:
    from hypothesis.strategies import DrawFn, SearchStrategy

LEAPS = [(date(2011, 12, 30), "Pacific/Apia"), (date(1993, 8, 21), "Pacific/Kwajalein")]
"""Dates that never happened, and where."""
ZONES = ("UTC", "Europe/Lisbon", "Pacific/Auckland", "America/New_York", *(zone for _, zone in LEAPS))
UNKNOWN = "nowhere"
MANNERS = [
    "kept", "kept", "kept", "slips", "shift", "some", "every", "later",
    "empty", "empty", "away", "missed", "excused", "stray",
]  # fmt: skip
SHORTEST = {"kept": 4, "empty": 2, "away": 2}
LONGEST = {
    "kept": 36,
    "slips": 15,
    "shift": 12,
    "some": 12,
    "every": 15,
    "later": 15,
    "empty": 14,
    "away": 16,
}


class Case(NamedTuple):
    """A course, the rows of one household in file order, and the last date to look at."""

    course: Course
    rows: list[Row]
    until: date


class Stretch(NamedTuple):
    """Some days lived in one manner; `turn` says which line or which day is the different one."""

    manner: str
    length: int
    turn: int
    word: str


class Lived(NamedTuple):
    """A day with its place in a stretch, 0 for the first."""

    on: date
    stretch: Stretch
    place: int


@st.composite
def stretches(draw: DrawFn) -> Stretch:
    manner = draw(st.sampled_from(MANNERS))
    length = draw(st.integers(SHORTEST.get(manner, 1), LONGEST.get(manner, 6)))
    return Stretch(manner, length, draw(st.integers(0, 3)), draw(st.sampled_from(["kept", "kept", "small"])))


@st.composite
def starts(draw: DrawFn) -> tuple[date, list[Row]]:
    """Draw a start date, with the `zone` row of a household whose calendar soon goes past a date."""
    if draw(st.sampled_from([False, False, False, False, True])):
        leap, zone = draw(st.sampled_from(LEAPS))
        start = leap - timedelta(days=draw(st.integers(1, 21)))
        return start, [(start.isoformat(), "zone", "", zone)]
    first = draw(st.sampled_from([date(2027, 1, 4), date(2028, 2, 1)]))
    return first + timedelta(days=draw(st.integers(0, 30))), []


def adjustments() -> SearchStrategy[dict[str, Any]]:
    keys = {
        "title": st.just("Ours"),
        "cue": st.just("after supper"),
        "small": st.just("a minute"),
        "slot": st.sampled_from(["morning", "anytime", "evening"]),
        "minutes": st.integers(1, 30),
        "repeats": rules(),
        "settles": settles(),
    }
    return st.fixed_dictionaries({}, optional=keys).filter(bool)


@st.composite
def additions(draw: DrawFn, names: list[str]) -> dict[str, Any]:
    """Draw the definition of an own step, some keys left to their defaults."""
    whole = draw(definitions(names))
    left_out = draw(st.sets(st.sampled_from(sorted(whole.keys() - {"title"}))))
    return {key: value for key, value in whole.items() if key not in left_out and value is not None}


@st.composite
def pauses(draw: DrawFn, on: date) -> Row:
    days = draw(st.one_of(st.none(), st.integers(-3, 12)))
    return (on.isoformat(), "pause", "", "" if days is None else (on + timedelta(days=days)).isoformat())


@st.composite
def choices(draw: DrawFn, on: date, course: Course, rows: list[Row]) -> Row:
    """Draw one row that is not a mark, dated `on`."""
    names = [step["id"] for step in course["steps"]]
    what = draw(st.sampled_from(sorted(VALUES)))
    if what == "pause":
        return draw(pauses(on))
    if what in {"add", "adjust"}:
        step = draw(st.sampled_from([*ADDED, names[0]] if what == "add" else [*names, *ADDED, UNKNOWN]))
        keys = draw(additions(names) if what == "add" else adjustments())
        return (on.isoformat(), what, step, json.dumps(keys))
    likely = [row[2] for row in rows if row[1] == LIKELY_AFTER.get(what)]
    step = draw(st.sampled_from(likely or [*names, *ADDED, UNKNOWN])) if what in ON_STEPS else ""
    return (on.isoformat(), what, step, draw(st.sampled_from(VALUES[what])))


VALUES = {
    "pause": [""],
    "resume": ["", "all", "one"],
    "set-aside": [""],
    "restore": [""],
    "next": [""],
    "minutes": ["", "0", "5", "12", "25", "60"],
    "pace": list(PACES),
    "zone": list(ZONES),
    "day-starts": ["00:00", "03:00", "15:00", "23:59"],
    "add": [""],
    "adjust": [""],
}
ON_STEPS = {"set-aside", "restore", "next"}
LIKELY_AFTER = {"set-aside": "kept", "restore": "set-aside"}


@st.composite
def stray_marks(draw: DrawFn, on: date, course: Course) -> Row:
    """Draw a mark, or one taken back, on any step: to come, set aside, not yet added or unknown."""
    names = [step["id"] for step in course["steps"]]
    step = draw(st.sampled_from([*names, *ADDED, UNKNOWN]))
    return (on.isoformat(), draw(st.sampled_from([*MARKS, "clear"])), step, "")


def due(household: Household, on: date) -> list[str]:
    """Look up the checklist of the coming day, as it opens without marks."""
    twin = copy.copy(household)
    twin.steps = {name: copy.copy(step) for name, step in household.steps.items()}
    twin.open_day(on)
    return twin.today.checklist


def ordinary_marks(stretch: Stretch, place: int, lines: list[str]) -> dict[str, str]:
    """Say which lines of a checklist are marked how, on the day at this place of the stretch."""
    turn, word = stretch.turn, stretch.word
    different = lines[turn % len(lines)] if lines else ""
    marked = {
        "kept": lines,
        "slips": lines,
        "some": lines[: turn + 1],
        "every": lines if place % (turn + 2) == 0 else [],
        "later": [line for line in lines if line != different or place % 3 == turn],
    }
    marks = dict.fromkeys(marked.get(stretch.manner, lines), word)
    if stretch.manner == "slips" and place % 3 == 1 and lines:
        marks[different] = "missed"
    return dict.fromkeys(lines, stretch.manner) if stretch.manner in MARKS[2:] else marks


def day_rows(draw: DrawFn, lived: Lived, course: Course, household: Household) -> list[Row]:
    """Draw the marks of one day."""
    stretch, on = lived.stretch, lived.on
    if stretch.manner == "stray":
        return [draw(stray_marks(on, course))]
    if stretch.manner in {"empty", "away"}:
        return []
    lines = due(household, on)
    marks = ordinary_marks(stretch, lived.place, lines)
    if stretch.manner == "shift":
        marks = {
            line: draw(st.sampled_from(["kept", "kept", "missed", "excused", "small", ""])) for line in lines
        }
    return [(on.isoformat(), what, step, "") for step, what in marks.items() if what]


def opening_rows(draw: DrawFn, lived: Lived, case: Case, *, after_away: bool) -> list[Row]:
    """Draw the rows, marks aside, of the first day of a stretch."""
    found = [draw(pauses(lived.on))] if lived.stretch.manner == "away" else []
    if after_away and draw(st.booleans()):
        found.append((lived.on.isoformat(), "resume", "", draw(st.sampled_from(["", "all", "one"]))))
    number = draw(st.sampled_from([0, 0, 1, 1, 2]))
    return found + [draw(choices(lived.on, case.course, case.rows)) for _ in range(number)]


@st.composite
def late_rows(draw: DrawFn, case: Case, start: date) -> list[Row]:
    """Draw rows written at the very end about any date: corrections, choices, a second start."""
    dates = st.integers(-3, (case.until - start).days + 3).map(lambda days: start + timedelta(days=days))
    found = [draw(stray_marks(draw(dates), case.course)) for _ in range(draw(st.integers(0, 6)))]
    found += [draw(choices(draw(dates), case.course, case.rows)) for _ in range(draw(st.integers(0, 2)))]
    second = (draw(dates).isoformat(), "start", case.course["steps"][0]["id"], "slow")
    return [*found, second] if draw(st.integers(0, 5)) == 5 else found


@st.composite
def first_rows(draw: DrawFn, start: date, course: Course) -> list[Row]:
    """Draw the `start` row, sometimes with a choice dated a few days before it."""
    day_before = start - timedelta(days=draw(st.integers(1, 3)))
    early = [draw(choices(day_before, course, [])) for _ in range(draw(st.sampled_from([0, 0, 0, 1])))]
    first = draw(st.sampled_from(["", *roots(course)]))
    return [*early, (start.isoformat(), "start", first, draw(st.sampled_from(["", *PACES])))]


def live(draw: DrawFn, case: Case, days: list[Lived]) -> None:
    """Add the rows of every day to the case, looking up what is due as it goes."""
    household, before = Household(case.course, case.rows), ""
    for lived in days:
        if lived.place == 0:
            case.rows.extend(opening_rows(draw, lived, case, after_away=before in {"away", "empty"}))
        before = lived.stretch.manner
        if not happened(lived.on, household.log.zone(lived.on)):
            case.rows.append(draw(stray_marks(lived.on, case.course)))
            case.rows.extend(draw(st.lists(choices(lived.on, case.course, case.rows), max_size=2)))
            continue
        case.rows.extend(day_rows(draw, lived, case.course, household))
        household.open_day(lived.on)
        household.close_day()


@st.composite
def cases(draw: DrawFn) -> Case:
    """Draw a course and a household's log of about one to four months."""
    course = draw(courses())
    start, zone_rows = draw(starts())
    lived = draw(st.lists(stretches(), min_size=draw(st.sampled_from([6, 3, 1])), max_size=10))
    places = [(stretch, place) for stretch in lived for place in range(stretch.length)]
    days = [Lived(start + timedelta(days=number), *where) for number, where in enumerate(places)]
    case = Case(course, zone_rows + draw(first_rows(start, course)), start + timedelta(days=len(days)))
    live(draw, case, days)
    case.rows.extend(draw(late_rows(case, start)))
    if draw(st.booleans()):  # a file may hold all marks after all other rows
        case.rows.sort(key=lambda row: row[1] in {*MARKS, "clear"})
    return case
