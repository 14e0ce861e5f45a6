"""What fetching a calendar costs: made anew just after a change, and for a program that has it already."""

from __future__ import annotations

import json
import time
from collections import Counter
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from icalendar import Calendar

from benchmarks.conftest import TODAY, Homes, history
from benchmarks.driving import Call, medians
from benchmarks.test_after_a_change import after_a_mark
from coach.app import create_app
from coach.calendar import feeds
from coach.calendar.answers import DAYS_AHEAD, DAYS_BACK, USUAL
from coach.calendar.feed import calendar
from coach.coaching.demo import furnish
from coach.ground.pages import PAGES
from coach.household import data, places
from coach.progress.csvform import write_log
from coach.progress.log import Row, What
from coach.settings import Settings
from coach.web.callers import ALONE

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from fastapi import FastAPI

    from coach.ground.ports import Context

DAYS, ITEMS = 400, 30
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
HOLDS = USUAL


def a_busy_log() -> list[Row]:
    """More than a year of twenty steps, and weekly jobs of the household's own from the first day on."""
    rows = history(DAYS)
    jobs = [
        Row(rows[0].date, What.ADD, f"job-{number}", json.dumps(_job(number))) for number in range(ITEMS - 6)
    ]
    return [rows[0], *jobs, *rows[1:]]


def _job(number: int) -> Mapping[str, object]:
    rule = f"FREQ=WEEKLY;BYDAY={WEEKDAYS[number % 7]}"
    return {"title": f"The household's own job {number}", "minutes": 15, "repeats": rule, "waits": False}


@pytest.fixture(scope="module")
def busy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    """A home of thirty things a week, with areas, dinners and dues."""
    file = tmp_path_factory.mktemp("busy") / "home.db"
    app = create_app(Settings(database=f"sqlite:///{file}", today=TODAY))
    context: Context = app.state.context
    data.load(context, "home", write_log(a_busy_log()))
    for name in PAGES:
        places.open_early(context, "home", name)
    furnish(context, "home", TODAY)
    yield app
    app.state.context.store.close()


@pytest.fixture(scope="module")
def path(busy: FastAPI) -> str:
    made = feeds.make(busy.state.context, ALONE, "Ana", HOLDS)
    return f"/calendar/{made.secret}.ics"


def test_the_calendar_that_is_measured_holds_thirty_things(busy: FastAPI) -> None:
    body = calendar(busy.state.context, "home", "Ana", HOLDS).body
    events = Calendar.from_ical(body).walk("VEVENT")
    things = Counter(str(event["uid"]).rsplit("-", 3)[0] for event in events)
    dates = {str(event["uid"]).partition("@")[0][-10:] for event in events}
    print(f"\n{len(events)} events of {len(things)} things, {len(body) / 1000:.0f} kB")
    assert sum(name.startswith("jobs-") for name in things) >= ITEMS - 1
    assert max(dates) > str(TODAY + timedelta(days=DAYS_AHEAD - 7))
    assert min(dates) < str(TODAY - timedelta(days=DAYS_BACK - 7))


def test_a_calendar_made_anew_after_a_mark_costs_at_most_forty_bare_reads(
    busy: FastAPI, path: str, homes: Homes
) -> None:
    mark = after_a_mark(busy)

    def mark_and_count_anew() -> None:
        mark()
        busy.state.fetches = type(busy.state.fetches)()

    calls = [(busy, path), (homes.bare, "/bare")]
    anew, bare = medians(calls, rounds=40, before=mark_and_count_anew, warm=5, clock=time.process_time)
    print(f"\nmade anew: {anew * 1e3:.1f} ms, bare read {bare * 1e6:.0f} us: {anew / bare:.1f} bare reads")
    assert anew < 40 * bare


def test_who_has_the_calendar_is_told_so_for_two_bare_reads(busy: FastAPI, path: str, homes: Homes) -> None:
    context: Context = busy.state.context
    tag = f'"{calendar(context, "home", "Ana", HOLDS).digest}"'
    calls: list[Call] = [(busy, path, tag.encode()), (homes.bare, "/bare")]
    again, bare = medians(calls, rounds=400, clock=time.process_time)
    print(f"\na 304: {again * 1e6:.0f} us, bare read {bare * 1e6:.0f} us: {again / bare:.2f} bare reads")
    assert again < 2 * bare
