"""What a program saw of steps, jobs, weeks and the kitchen: a change that is late writes nothing."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest

from web.kitchen.full_week import ask
from web.week.house import grown

if TYPE_CHECKING:
    from web.house import House

JOB = "/api/jobs/out-and-back"
DINNER = "/api/dinners/2027-02-02"
MOVE = {"on": "2027-02-06", "to": "2027-02-03"}
LINES = {"lines": [{"title": "Dust", "minutes": 5}], "stop_after": 30}

# What is read; what somebody else does; what the program does that has not seen it.
Change = tuple[str, str, Any]
FERNS = "/api/steps/ferns"
WATER, WEEK, PANCAKES = "/api/steps/water", "/api/week/2027-W05", "/api/favourites/pancakes"
MORE_WATER: Change = ("PATCH", WATER, {"minutes": 3})
MOVED: Change = ("POST", f"{JOB}/move", MOVE)
NEW_LINES: Change = ("PUT", f"{JOB}/lines", LINES)
SOUP: Change = ("PUT", DINNER, {"dish": "Soup"})
THIN: Change = ("PUT", PANCAKES, {"dish": "Thin"})
MINUTES: Change = ("PUT", "/api/available", {"minutes": {"SA": 30}})
BALANCED = {"week": "2027-W05", "moves": {"out-and-back": "2027-02-03"}}
SOAP = "/api/shopping/lines/20270130-0001"
AT_HOME = {"key": "onion", "tick": "at-home"}
LATE: list[tuple[str, Change, Change]] = [
    (WATER, MORE_WATER, ("PATCH", WATER, {"cue": "after tea"})),
    (FERNS, ("PATCH", FERNS, {"minutes": 3}), ("POST", f"{FERNS}/next", None)),
    (WATER, MORE_WATER, ("POST", f"{WATER}/set-aside", None)),
    (WATER, ("POST", f"{WATER}/set-aside", None), ("POST", f"{WATER}/restore", None)),
    (JOB, NEW_LINES, ("PUT", f"{JOB}/lines", LINES | {"stop_after": 20})),
    (JOB, NEW_LINES, ("DELETE", f"{JOB}/lines", None)),
    (WEEK, MOVED, ("POST", f"{JOB}/move", {"on": "2027-02-03", "to": "2027-02-04"})),
    ("/api/week", MOVED, ("POST", "/api/week/undo", None)),
    (WEEK, MINUTES, ("POST", "/api/balance", BALANCED)),
    ("/api/available", MINUTES, ("PUT", "/api/available", {"minutes": {"MO": 40}})),
    ("/api/pace", ("PUT", "/api/pace", {"pace": "gentle"}), ("PUT", "/api/pace", {"pace": "standard"})),
    (DINNER, SOUP, ("PUT", DINNER, {"dish": "Pie"})),
    (DINNER, SOUP, ("PUT", DINNER, {"favourite": "pancakes"})),
    (DINNER, SOUP, ("DELETE", DINNER, None)),
    (PANCAKES, THIN, ("PUT", PANCAKES, {"dish": "Thick"})),
    (PANCAKES, THIN, ("DELETE", PANCAKES, None)),
    ("/api/shopping", ("PUT", "/api/shopping", AT_HOME), ("PUT", "/api/shopping", AT_HOME | {"tick": None})),
    ("/api/shopping", ("PUT", "/api/shopping", AT_HOME), ("DELETE", "/api/shopping/ticked", None)),
    (SOAP, ("PUT", SOAP, {"text": "2 soaps"}), ("PUT", SOAP, {"text": "3 soaps"})),
    (SOAP, ("PUT", SOAP, {"text": "2 soaps"}), ("DELETE", SOAP, None)),
]


@pytest.fixture
def full(house: House) -> House:
    """A house with a job that can move, a step to come, a dinner and a favourite."""
    grown(house)
    ask(house, "POST", "/api/steps", {"catalogue": "water"})
    ask(house, "POST", "/api/steps", {"title": "Ferns", "after": ["water"]})
    ask(house, "POST", "/api/favourites", {"dish": "Pancakes", "ingredients": ["4 eggs"]})
    ask(house, "POST", "/api/shopping/lines", {"lines": ["soap"]})
    ask(house, "PUT", "/api/dinners/2027-01-31", {"dish": "Rice", "ingredients": ["1 onion"]})
    return house


@pytest.mark.parametrize(("address", "theirs", "ours"), LATE)
def test_a_late_change_writes_nothing_and_is_told_what_stands(
    full: House, address: str, theirs: Change, ours: Change
) -> None:
    tag = full.http.get(address).headers["etag"]
    ask(full, *theirs)
    version = full.app.state.context.store.version("home").version
    answer = full.http.request(ours[0], ours[1], json=ours[2], headers={"if-match": tag})
    assert (answer.status_code, answer.json()["type"]) == (412, "/problems/outdated")
    assert full.app.state.context.store.version("home").version == version
    fresh = full.http.get(address).headers["etag"]
    assert answer.json()["etag"] == fresh != tag
    again = full.http.request(ours[0], ours[1], json=ours[2], headers={"if-match": fresh})
    assert again.status_code == 200, again.text


@pytest.mark.parametrize("address", sorted({address for address, _, _ in LATE}))
def test_a_tag_stays_while_the_clock_goes_on_and_nobody_changes_anything(full: House, address: str) -> None:
    ask(full, "PUT", f"{JOB}/timer", {})
    ask(
        full, "PUT", DINNER, {"dish": "Roast", "frozen": [{"name": "joint", "weight": "1 kg", "kind": "cut"}]}
    )
    before = full.http.get(address).headers["etag"]
    full.now += timedelta(hours=7, minutes=11)
    assert full.http.get(address).headers["etag"] == before


def test_ticks_and_the_timer_of_a_job_are_no_change_of_its_lines(full: House) -> None:
    before = full.http.get(JOB)
    ask(full, "PUT", f"{JOB}/ticks/1", {})
    ask(full, "PUT", f"{JOB}/timer", {})
    after = full.http.get(JOB)
    assert after.json() != before.json()
    assert after.headers["etag"] == before.headers["etag"]
