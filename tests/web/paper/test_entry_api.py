"""`POST /api/sheet/{week}/marks`: the marks of several days in one request, all of them or none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.at_home import HomeHouse
from web.habits.test_hands import BED, Two
from web.week.house import SATURDAY, grown

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from httpx2 import Response

    from web.house import House

ADDRESS = "/api/sheet/2027-W04/marks"
FRIDAY = "2027-01-29"
Marks = dict[str, dict[str, str | None]]


@pytest.fixture
def lived(empty: House) -> House:
    """A house on a Saturday, with everything kept before it."""
    return grown(empty)


def post(house: House, marks: Marks, **more: object) -> Response:
    return house.http.post(ADDRESS, json={"marks": marks, **more})


def bed(sheet: dict[str, Any]) -> list[str]:
    """The boxes of the first line."""
    return next(line["boxes"] for line in sheet["lines"] if line["step"] == BED)


def test_marks_of_several_days_are_answered_with_the_sheet(lived: House) -> None:
    answer = post(lived, {FRIDAY: {BED: None}, SATURDAY: {BED: "small"}})
    assert answer.status_code == 200
    assert bed(answer.json()) == ["kept", "kept", "kept", "kept", "open", "small", "open"]
    assert answer.json() == lived.http.get("/api/sheet/2027-W04").json()


@pytest.mark.parametrize(
    ("marks", "status"),
    [
        ({"2027-01-31": {BED: "kept"}}, 409),
        ({"2027-02-01": {BED: "kept"}}, 422),
        ({FRIDAY: {"nothing": "kept"}}, 404),
        ({FRIDAY: {BED: "done"}}, 422),
        ({"29 January": {BED: "kept"}}, 422),
    ],
)
def test_where_one_cannot_be_written_none_is(lived: House, marks: Marks, status: int) -> None:
    kept: dict[str, str | None] = {BED: "kept"}
    before = lived.http.get("/api/log.csv").text
    assert post(lived, {SATURDAY: kept, **marks}).status_code == status
    assert lived.http.get("/api/log.csv").text == before


def test_a_request_sent_again_is_answered_as_the_first_time(lived: House) -> None:
    first = post(lived, {SATURDAY: {BED: "kept"}}, request_id="sheet-1")
    lived.mark(BED, "missed")
    again = post(lived, {SATURDAY: {BED: "kept"}}, request_id="sheet-1")
    assert again.json() == first.json()
    assert next(line["mark"] for line in lived.day()["checklist"] if line["step"] == BED) == "missed"
    assert post(lived, {SATURDAY: {BED: "small"}}, request_id="sheet-1").status_code == 422


def test_a_week_that_is_none_is_refused(lived: House) -> None:
    answer = lived.http.post("/api/sheet/2027-W60/marks", json={"marks": {}})
    assert answer.status_code == 422
    assert lived.http.post("/api/sheet/2026-W04/marks", json={"marks": {}}).status_code == 404


@pytest.fixture
def two(tmp_path: Path) -> Iterator[Two]:
    house = HomeHouse(tmp_path)
    house.start()
    yield Two(house)
    house.close()


def test_a_newer_mark_of_somebody_else_is_not_replaced_by_one_that_has_not_seen_it(two: Two) -> None:
    seen, today = two.day["version"], str(two.home.today)
    two.put(two.ben, "missed")
    body = {"marks": {today: {BED: "kept"}}, "seen_version": seen}
    answer = two.ana.post("/api/sheet/2027-W01/marks", json=body)
    assert answer.status_code == 409
    told = answer.json()
    assert told["type"].endswith("newer")
    assert [(one["date"], one["step"], one["mark"], one["name"]) for one in told["clashes"]] == [
        (today, BED, "missed", "Ben")
    ]
    assert bed(told)[0] == "missed"
    assert two.line()["mark"] == "missed"
