"""A year of a calendar against a second reading of the rules, over changes of the clocks and a pause."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple
from zoneinfo import ZoneInfo

import pytest
from dateutil.rrule import rrulestr
from icalendar import Calendar

from coach.calendar.feed import calendar
from coach.course.recurrence import is_weekly_at_most
from coach.desk import dues
from coach.desk.dues import TypedDue
from coach.habits import pauses
from coach.household import data
from coach.progress.csvform import write_log
from coach.progress.log import Row, What
from property.second_reading import Household, read_course
from web.house import House

if TYPE_CHECKING:
    from coach.ground.sending import FeedKind

COURSE = read_course(Path(__file__).parents[2] / "lessons" / "three-weeks")
STEPS = [step["id"] for step in COURSE["steps"]]
JOBS = {step["id"] for step in COURSE["steps"] if is_weekly_at_most(step["repeats"])}
LIVED, YEAR, PAUSED = 60, 365, 5
RENT, LATE = "FREQ=MONTHLY;BYMONTHDAY=29", "FREQ=WEEKLY;BYDAY=SU"


class Place(NamedTuple):
    """A zone, the hour at which days begin, the date that is today, and when an absence begins.

    The dates are those of the project's list of changes (IANA time zone database).
    """

    zone: str
    day_starts: str
    today: date
    away: date


PLACES = [
    Place("Europe/London", "03:00", date(2026, 3, 1), date(2026, 10, 22)),
    Place("America/Santiago", "00:00", date(2026, 3, 1), date(2026, 9, 4)),
    Place("Australia/Lord_Howe", "03:00", date(2026, 3, 20), date(2026, 4, 3)),
    Place("Pacific/Apia", "00:00", date(2011, 8, 1), date(2012, 1, 12)),
]


@pytest.fixture(scope="module", params=PLACES, ids=lambda place: place.zone)
def lived(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Place, House]:
    """A house in which every line was kept for two months, with an absence to come and dues."""
    place: Place = request.param
    house = House(tmp_path_factory.mktemp("year"))
    # Noon in Greenwich is this date in all of these zones but Samoa's of before 2012, where it is early.
    house.now = datetime.combine(place.today, time(12), UTC)
    rows = [*_begun(place), *_kept(place, place.today - timedelta(days=LIVED), place.today)]
    context = house.app.state.context
    data.load(context, "home", write_log(rows))
    pauses.pause(context, "home", place.away, place.away + timedelta(days=PAUSED - 1))
    dues.add(context, "home", TypedDue("Rent", str(place.today), RENT))
    dues.add(context, "home", TypedDue("Early train", str(place.today), LATE, time="00:15"))
    dues.add(context, "home", TypedDue("Choir", str(place.today), LATE, time="19:30"))
    return place, house


def _begun(place: Place) -> list[Row]:
    first = place.today - timedelta(days=LIVED)
    return [
        Row(first, What.START, "bed-made", "standard"),
        Row(first, What.ZONE, "", place.zone),
        Row(first, What.DAY_STARTS, "", place.day_starts),
    ]


def _kept(place: Place, first: date, until: date) -> list[Row]:
    """Every step kept on every day but those away, so that the first day brings them all."""
    days = [first + timedelta(days=ahead) for ahead in range((until - first).days)]
    away = {place.away + timedelta(days=ahead) for ahead in range(PAUSED)}
    return [Row(day, What.KEPT, step) for day in days if day not in away for step in STEPS]


def due_by_replay(place: Place) -> set[tuple[str, date]]:
    """The dates of the jobs, day by day, when all goes on as it was: a log with the year to come in it."""
    first, last = place.today - timedelta(days=LIVED), place.today + timedelta(days=YEAR)
    rows = [*_begun(place), *_kept(place, first, last + timedelta(days=1))]
    until = place.away + timedelta(days=PAUSED - 1)
    rows.append(Row(place.away, What.PAUSE, "", str(until)))
    household = Household(COURSE, [(str(one.date), one.what.value, one.step, one.value) for one in rows])
    found = set()
    for day in household.log.household_days(last):
        household.open_day(day)
        found |= {(step, day) for step in household.standing()["checklist"] if step in JOBS}
        household.close_day()
    return found


def events(house: House, *kinds: FeedKind) -> list[tuple[str, Any]]:
    """The titles of what is shown with when it begins."""
    body = calendar(house.app.state.context, "home", "All", kinds).body
    found = Calendar.from_ical(body).walk("VEVENT")
    identities = Counter(str(one["uid"]) for one in found)
    assert not [uid for uid, count in identities.items() if count > 1]
    return [(str(one["uid"]).split("@")[0], one.decoded("dtstart")) for one in found]


def test_jobs_fall_on_the_dates_of_replay(lived: tuple[Place, House]) -> None:
    place, house = lived
    first, last = place.today - timedelta(days=29), place.today + timedelta(days=YEAR)
    shown = {
        (uid.removeprefix("jobs-")[:-11], day) for uid, day in events(house, "jobs") if first <= day <= last
    }
    wanted = {(step, day) for step, day in due_by_replay(place) if first <= day <= last}
    assert len(wanted) > 200
    assert shown == wanted


def test_dues_keep_their_time_on_the_wall_over_changes_of_the_clocks_and_stay_on_days_away(
    lived: tuple[Place, House],
) -> None:
    place, house = lived
    last = datetime.combine(place.today + timedelta(days=400), time())
    sundays = [day.date() for day in _dates(LATE, place.today, last)]
    found = events(house, "dues")
    for name, at in (("0002", time(0, 15)), ("0003", time(19, 30))):
        begins = [one for uid, one in found if f"-{name}-" in uid]
        walls = [datetime.combine(day, at, ZoneInfo(place.zone)).astimezone(UTC) for day in sundays]
        assert begins == walls
        assert len({one.time() for one in begins}) > 1
    rent = {one for uid, one in found if "-0001-" in uid}
    assert rent == {day.date() for day in _dates(RENT, place.today, last)}
    away = {place.away + timedelta(days=ahead) for ahead in range(PAUSED)}
    assert away & set(sundays)


def _dates(rule: str, start: date, last: datetime) -> list[datetime]:
    begun = datetime.combine(start, time())
    return list(rrulestr(rule, dtstart=begun).between(begun, last, inc=True))


def test_days_away_hold_nothing_but_dues(lived: tuple[Place, House]) -> None:
    place, house = lived
    away = {place.away + timedelta(days=ahead) for ahead in range(PAUSED)}
    here = {day for _, day in events(house, "jobs", "areas", "dinner", "routines")}
    assert not here & away
    assert place.away - timedelta(days=1) in here


def test_an_absence_without_an_end_leaves_nothing_but_dues(lived: tuple[Place, House]) -> None:
    place, house = lived
    began = place.away + timedelta(days=PAUSED + 5)
    pauses.pause(house.app.state.context, "home", began)
    assert place.away < max(day for _, day in events(house, "jobs", "routines")) < began
    assert len(events(house, "dues")) > 100
