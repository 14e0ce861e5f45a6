from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from areas.house import AreaHouse
from coach.coaching.demo import furnish, tern_street
from coach.coaching.library import FolderLibrary
from coach.desk import dues
from coach.desk.dues import TypedDue
from coach.ground.faults import Unfit
from coach.ground.ports import Context
from coach.habits import pauses
from coach.household import data
from coach.kitchen import dinners
from coach.kitchen.dinners import TypedDinner
from coach.kitchen.dishes import TypedDish, TypedFrozen
from coach.paper import pages
from coach.paper.handover import MOST_DAYS, Wanted, dates_text, handover, typed_dates
from coach.paper.pages import TypedPage
from coach.progress.csvform import write_log
from coach.store.memory import MemoryStore

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from coach.paper.handover_answers import ForName, Handover, HandoverLine, HandoverSection, PartName

HOME = "home"
TODAY = date(2027, 3, 4)
SUNDAY = TODAY + timedelta(days=3)
WEEK = TODAY + timedelta(days=6)


@pytest.fixture(scope="module")
def lived() -> MemoryStore:
    """Tern Street, living there for months."""
    store = MemoryStore()
    context = _context(store)
    data.load(context, HOME, write_log(tern_street(context.library.course(context.course), TODAY)))
    furnish(context, HOME, TODAY)
    for on in (TODAY, SUNDAY, SUNDAY + timedelta(days=4)):
        frozen = (TypedFrozen("chicken", "6 lb", "poultry"),) if on > TODAY else ()
        dinners.put(context, HOME, on, TypedDinner(TypedDish(f"Dish of {on.day}", "", frozen, "60"), "18:00"))
    dues.add(context, HOME, TypedDue("Dentist", SUNDAY.isoformat(), "", "", "", "09:30"))
    dues.add(context, HOME, TypedDue("Rent", SUNDAY.isoformat(), "", "", "900", ""))
    for title, whom in (
        ("Doors", ("guest", "sitter")),
        ("Children", ("sitter",)),
        ("Health", ("emergency",)),
    ):
        pages.add(context, HOME, TypedPage(title, "text", whom))
    return store


def _context(store: MemoryStore) -> Context:
    return Context(store, FolderLibrary(), lambda: datetime(2027, 3, 4, 9, tzinfo=UTC), TODAY)


def _of(store: MemoryStore, whom: ForName, last: date | None = None, *parts: PartName) -> Handover:
    return handover(_context(store), HOME, Wanted(whom, TODAY, last, parts or None))


def _part(found: Handover, key: PartName) -> HandoverSection:
    return next(section for section in found.sections if section.key == key)


def _dated(lines: Sequence[HandoverLine]) -> Iterator[tuple[str, HandoverLine]]:
    """The lines, each with the heading it stands under."""
    heading = ""
    for line in lines:
        heading = line.heading or heading
        yield heading, line


def test_the_pages_of_one_purpose_come_in_the_households_order(lived: MemoryStore) -> None:
    titles = {
        whom: [page.title for page in _of(lived, whom).pages] for whom in ("sitter", "guest", "emergency")
    }
    assert titles == {"sitter": ["Doors", "Children"], "guest": ["Doors"], "emergency": ["Health"]}


def test_whoever_stands_in_gets_a_week_with_all_that_is_known(lived: MemoryStore) -> None:
    found = _of(lived, "stand-in")
    assert [section.key for section in found.sections] == ["day", "jobs", "dinners", "dues", "areas"]
    assert (found.from_date, found.until) == (TODAY, WEEK)
    assert found.dates == "Thursday 4 March to Wednesday 10 March 2027"


def test_the_day_stands_by_its_parts_with_cues(lived: MemoryStore) -> None:
    day = _part(_of(lived, "sitter"), "day")
    assert [line.heading for line in day.lines if line.heading] == ["Morning", "Anytime", "Evening"]
    bed = next(line for line in day.lines if "bed" in line.title.lower())
    assert "minute" in bed.aside
    assert " · " in bed.aside


def test_the_jobs_of_the_dates_stand_with_their_lines(lived: MemoryStore) -> None:
    jobs = _part(_of(lived, "stand-in"), "jobs")
    assert any("minutes" in under for line in jobs.lines for under in line.under)


def test_jobs_are_handed_over_though_the_household_is_away() -> None:
    store = MemoryStore()
    context = _context(store)
    data.load(context, HOME, write_log(tern_street(context.library.course(context.course), TODAY)))
    before = _part(_of(store, "stand-in"), "jobs").lines
    pauses.pause(context, HOME, TODAY + timedelta(days=1), WEEK)
    assert _part(_of(store, "stand-in"), "jobs").lines == before


def test_dinners_say_on_which_date_what_leaves_the_freezer(lived: MemoryStore) -> None:
    lines = _part(_of(lived, "stand-in"), "dinners").lines
    about = [(day, line) for day, line in _dated(lines) if "Dish of" in f"{line.title}{line.aside}"]
    move = "into the refrigerator on this day at the latest, for"
    assert [(day, line.title, line.aside) for day, line in about] == [
        ("Thursday 4 March", "Dish of 4", "at 18:00"),
        ("Friday 5 March", "Out of the freezer: chicken, 6 lb", f"{move} Dish of 7 on Sunday 7 March"),
        ("Sunday 7 March", "Dish of 7", "at 18:00"),
        ("Tuesday 9 March", "Out of the freezer: chicken, 6 lb", f"{move} Dish of 11 on Thursday 11 March"),
    ]
    assert "in the refrigerator from Friday 5 March" in about[2][1].under[-1]


def test_thawing_comes_with_its_caution_and_an_evening_without_needs_none(lived: MemoryStore) -> None:
    assert [one.key for one in _part(_of(lived, "stand-in"), "dinners").cautions] == ["thaw"]
    assert _part(_of(lived, "sitter"), "dinners").cautions == ()


def test_what_something_costs_is_for_whoever_stands_in(lived: MemoryStore) -> None:
    evening = {line.title: line.aside for line in _part(_of(lived, "sitter", WEEK), "dues").lines}
    week = {line.title: line.aside for line in _part(_of(lived, "stand-in"), "dues").lines}
    assert (evening["Dentist"], week["Dentist"]) == ("at 09:30", "at 09:30")
    assert ("Rent" in evening, week["Rent"]) == (False, "900")


def test_the_areas_stand_with_their_rooms_and_patterns(lived: MemoryStore) -> None:
    lines = _part(_of(lived, "guest"), "areas").lines
    assert [line.number for line in lines] == list(range(1, len(lines) + 1))
    assert not any(line.aside for line in lines)


def test_an_area_of_several_rooms_names_them() -> None:
    house = AreaHouse(("kitchen", "bath", "toilet"), 2)
    lines = _part(handover(house.context, HOME, Wanted("guest")), "areas").lines
    rooms = {area.name: ", ".join(area.rooms) for area in house.areas.areas if area.rooms != (area.name,)}
    assert {line.title: line.aside for line in lines if line.aside} == rooms
    assert rooms


def test_parts_can_be_chosen(lived: MemoryStore) -> None:
    assert [one.key for one in _of(lived, "sitter", None, "areas", "day").sections] == ["day", "areas"]


@pytest.mark.parametrize(
    ("first", "last", "field"),
    [
        (TODAY - timedelta(days=1), None, "from"),
        (TODAY + timedelta(days=400), None, "from"),
        (TODAY, TODAY - timedelta(days=1), "until"),
        (TODAY, TODAY + timedelta(days=MOST_DAYS), "until"),
    ],
)
def test_dates_that_cannot_be_used_are_said_beside_their_field(
    lived: MemoryStore, first: date, last: date | None, field: str
) -> None:
    with pytest.raises(Unfit) as refused:
        handover(_context(lived), HOME, Wanted("sitter", first, last))
    assert [fault.field for fault in refused.value.faults] == [field]


def test_typed_dates_that_are_none_are_all_named() -> None:
    with pytest.raises(Unfit) as refused:
        typed_dates("soon", "2027-13-01")
    assert [fault.field for fault in refused.value.faults] == ["from", "until"]
    assert typed_dates("", " 2027-03-04 ") == (None, TODAY)


def test_dates_are_said_with_their_year_where_it_changes() -> None:
    assert dates_text(TODAY, TODAY) == "Thursday 4 March 2027"
    words = dates_text(date(2027, 12, 30), date(2028, 1, 2))
    assert words == "Thursday 30 December 2027 to Sunday 2 January 2028"
