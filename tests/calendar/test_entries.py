"""What of a household stands in its calendar, what does not, and when it says that this was written."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.calendar.answers import KINDS, USUAL
from coach.calendar.feed import calendar, entries
from coach.ground.situation import looking
from web.demo_home import NOW, tern_streets
from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from coach.calendar.rules.entries import Entry
    from coach.ground.sending import FeedKind

TODAY = NOW.date()


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """Tern Street, with its whole home plan, for tests that look."""
    with tern_streets(House, tmp_path_factory.mktemp("looked-at")) as house:
        yield house


@pytest.fixture
def changing(tmp_path: Path) -> Iterator[House]:
    """The same, for tests that change it."""
    with tern_streets(House, tmp_path) as house:
        yield house


def shown(house: House, *kinds: FeedKind) -> list[Entry]:
    with looking(house.app.state.context, "home") as where:
        return list(entries(where, kinds))


def by_date(found: list[Entry]) -> dict[date, set[str]]:
    days: dict[date, set[str]] = {}
    for one in found:
        for day in one.dates:
            days.setdefault(day, set()).add(one.title)
    return days


def changed(house: House) -> dict[tuple[str, str, date], datetime]:
    found = shown(house, *USUAL)
    return {(one.kind, one.id, day): one.changed for one in found for day in one.dates}


def test_jobs_and_areas_of_a_week_are_those_of_the_week_page(house: House) -> None:
    jobs, areas = by_date(shown(house, "jobs")), by_date(shown(house, "areas"))
    for name in ("2027-W04", "2027-W05", "2027-W09", "2027-W40"):
        for day in house.http.get(f"/api/week?week={name}").json()["days"]:
            on = date.fromisoformat(day["date"])
            assert jobs.get(on, set()) == {job["title"] for job in day["jobs"]}, on
            assert bool(areas.get(on)) == bool(day["area_minutes"]), on


def test_the_areas_have_their_turns_in_the_order_of_the_rotation(house: House) -> None:
    areas = by_date(shown(house, "areas"))
    for week in house.http.get("/api/rotation?weeks=12").json()["weeks"]:
        first = date.fromisoformat(week["week"])
        here = {title for ahead in range(7) for title in areas.get(first + timedelta(days=ahead), ())}
        assert here == {f"Area: {one['name']}" for one in week["areas"]}, week


def test_by_need_the_weeks_to_come_are_a_forecast_and_say_so(changing: House) -> None:
    assert changing.http.patch("/api/areas", json={"mode": "need"}).status_code == 200
    found = shown(changing, "areas")
    this_week = TODAY - timedelta(days=TODAY.weekday()) + timedelta(days=6)
    for one in found:
        assert {"forecast" in one.text} == {day > this_week for day in one.dates}
    assert {day > this_week for one in found for day in one.dates} == {True, False}


def test_a_due_that_is_seen_to_says_so_and_no_amount_leaves_the_house(changing: House) -> None:
    changing.http.post("/api/dues", json={"name": "Rent", "on": "2027-02-01", "amount": "12345 euros"})
    [due] = [one["id"] for one in changing.http.get("/api/dues").json()["dues"] if one["name"] == "Rent"]
    assert "Rent" in by_date(shown(changing, "dues"))[date(2027, 2, 1)]
    assert changing.http.put(f"/api/dues/{due}/seen-to/2027-02-01").status_code == 200
    assert "Rent: seen to" in by_date(shown(changing, "dues"))[date(2027, 2, 1)]
    body = calendar(changing.app.state.context, "home", "All", KINDS).body.decode()
    assert "Rent" in body
    assert "12345" not in body.replace("\r\n ", "")


def test_a_dinner_is_there_all_day_and_tells_its_hour(house: House) -> None:
    [soup, *_] = shown(house, "dinner")
    assert (soup.title, soup.text, soup.begins) == ("Dinner: Lentil soup", "At 18:30", ())


def test_routines_are_one_event_a_day_that_counts_them_and_off_unless_asked_for(house: House) -> None:
    assert "routines" not in USUAL
    days = by_date(shown(house, "routines"))
    [title] = days[TODAY]
    lines = house.http.get("/api/week").json()["days"][1]["habits"]
    assert sum(int(part.rsplit(" ", 1)[1]) for part in title.split(", ")) == len(lines)
    assert {len(titles) for titles in days.values()} == {1}


def test_a_mark_changes_nothing_of_what_is_said_and_a_job_that_is_changed_only_itself(
    changing: House,
) -> None:
    before = changed(changing)
    changing.now += timedelta(hours=1)
    changing.mark(changing.day()["checklist"][0]["step"])
    assert changed(changing) == before
    assert changing.http.patch("/api/steps/linen", json={"minutes": 35}).status_code == 200
    after = changed(changing)
    other = {key for key, at in after.items() if before.get(key) != at}
    assert {(kind, id_of) for kind, id_of, _ in other} == {("jobs", "linen")}
    assert {after[key] for key in other} == {changing.now}


def test_nothing_is_said_to_have_been_written_in_the_future(house: House) -> None:
    assert max(one.changed for one in shown(house, *KINDS)) <= house.now.astimezone(UTC)


def test_an_absence_takes_off_all_but_dues_and_the_area_waits_for_it(changing: House) -> None:
    first, last = date(2027, 2, 8), date(2027, 2, 14)
    before = by_date(shown(changing, "areas"))
    answer = changing.http.post("/api/pause", json={"from": str(first), "until": str(last)})
    assert answer.status_code == 200, answer.text
    away = {first + timedelta(days=ahead) for ahead in range(7)}
    assert not away & by_date(shown(changing, "jobs", "areas", "dinner", "routines")).keys()
    after = by_date(shown(changing, "areas"))
    of_week = {title for day in away for title in before.get(day, ())}
    following = {title for day in after if last < day <= last + timedelta(days=7) for title in after[day]}
    assert of_week == following
