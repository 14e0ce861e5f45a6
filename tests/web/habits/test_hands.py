"""Two members mark the same day: who did it, what was not seen, and marks that come late."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest

from coach.habits.forecast_weekly import write_down
from coach.household import data
from web.at_home import HomeHouse

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from starlette.testclient import TestClient

BED = "bed-made"


class Two:
    """A home in which Ana and Ben live, each with a phone."""

    def __init__(self, home: HomeHouse) -> None:
        self.home = home
        self.ana = home.paired("Ana", 7)
        home.now += timedelta(seconds=1)
        self.ben = home.paired("Ben", 8)

    @property
    def day(self) -> dict[str, Any]:
        """Today as it stands."""
        found: dict[str, Any] = self.ana.get("/api/today").json()
        return found

    def line(self, step: str = BED) -> dict[str, Any]:
        """A line of today."""
        return next(line for line in self.day["checklist"] if line["step"] == step)

    def put(self, who: TestClient, mark: str, step: str = BED, **more: object) -> Any:  # noqa: ANN401  a response
        """Mark a line of today."""
        return who.put(f"/api/days/{self.home.today}/marks/{step}", json={"mark": mark, **more})


@pytest.fixture
def two(tmp_path: Path) -> Iterator[Two]:
    house = HomeHouse(tmp_path)
    house.start()
    yield Two(house)
    house.close()


def test_a_mark_keeps_the_name_of_one_who_has_left(two: Two) -> None:
    two.home.paired("Cem", 9)
    two.put(two.ben, "kept")
    ben = next(one for one in two.ana.get("/api/people").json()["people"] if one["name"] == "Ben")
    assert two.ana.delete(f"/api/people/{ben['person']}").status_code < 300
    assert two.line()["marked_by"]["name"] == "Ben"
    clash = two.put(two.ana, "missed", seen_version=1)
    assert (clash.status_code, clash.json()["clash"]["name"]) == (409, "Ben")


def test_a_forecast_written_down_since_makes_no_clash_of_a_mark_that_was_seen(two: Two) -> None:
    context = two.home.app.state.context
    for day in range(14):
        for line in two.day["checklist"]:
            two.put(two.ana, "missed" if day % 4 == 3 else "kept", line["step"])
        two.home.sleep()
    two.put(two.ben, "kept")
    seen = two.day["version"]
    assert write_down(context, "home")
    assert two.day["version"] > seen
    assert two.put(two.ana, "small", seen_version=seen).status_code == 200
    assert two.put(two.ben, "kept", seen_version=seen).status_code == 409


def test_a_day_says_who_marked_a_line_and_when(two: Two) -> None:
    assert two.line()["marked_by"] is None
    two.put(two.ben, "kept")
    marked = two.line()["marked_by"]
    assert (marked["name"], marked["at"]) == ("Ben", two.home.now.isoformat().replace("+00:00", "Z"))


def test_a_household_of_one_is_not_told_who_it_is(tmp_path: Path) -> None:
    home = HomeHouse(tmp_path)
    home.start()
    ana = home.paired("Ana")
    day = ana.put(f"/api/days/{home.today}/marks/{BED}", json={"mark": "kept"}).json()
    assert [(line["marked_by"], line["mine"]) for line in day["checklist"]] == [(None, None)]
    home.close()


def test_every_write_makes_the_version_greater_and_the_answer_has_it(two: Two) -> None:
    before = two.day["version"]
    answer = two.put(two.ana, "kept").json()
    assert before < answer["version"] == two.day["version"]


def test_a_mark_that_has_not_seen_the_newer_one_is_answered_with_both(two: Two) -> None:
    seen = two.day["version"]
    two.put(two.ben, "kept")
    answer = two.put(two.ana, "missed", seen_version=seen)
    problem = answer.json()
    assert (answer.status_code, problem["type"]) == (409, "/problems/newer")
    assert {"step": BED, "mark": "kept", "name": "Ben"}.items() <= problem["clash"].items()
    assert problem["checklist"][0]["mark"] == "kept"
    assert problem["version"] == two.day["version"]
    assert two.put(two.ana, "missed", seen_version=problem["version"]).status_code == 200
    assert two.line()["marked_by"]["name"] == "Ana"


def test_the_same_mark_as_the_newer_one_is_a_success_and_leaves_it(two: Two) -> None:
    seen = two.day["version"]
    two.put(two.ben, "kept")
    assert two.put(two.ana, "kept", seen_version=seen).status_code == 200
    assert two.line()["marked_by"]["name"] == "Ben"


def test_taking_back_what_was_not_seen_is_refused_too(two: Two) -> None:
    two.put(two.ana, "kept")
    seen = two.day["version"]
    two.put(two.ben, "small")
    address = f"/api/days/{two.home.today}/marks/{BED}"
    assert two.ana.delete(address, params={"seen_version": seen}).status_code == 409
    assert two.ana.delete(address, params={"seen_version": two.day["version"]}).status_code == 200


def test_several_marks_are_written_together_or_not_at_all(two: Two) -> None:
    seen = two.day["version"]
    two.put(two.ben, "kept")
    sent = {"steps": ["table-cleared", BED], "mark": "missed", "seen_version": seen}
    answer = two.ana.post(f"/api/days/{two.home.today}/marks", json=sent)
    assert (answer.status_code, answer.json()["clash"]["step"]) == (409, BED)
    assert [line["mark"] for line in answer.json()["checklist"]] == ["kept"]


def test_what_another_one_set_anew_is_left_out_where_a_mark_is_named(two: Two) -> None:
    two.put(two.ana, "kept")
    seen = two.day["version"]
    two.put(two.ben, "small")
    two.put(two.ben, "kept")
    sent = {"steps": [BED], "mark": None, "only": "kept", "seen_version": seen}
    answer = two.ana.post(f"/api/days/{two.home.today}/marks", json=sent)
    assert (answer.status_code, answer.json()["changed"]) == (200, [])


def test_a_mark_that_comes_late_does_not_replace_a_later_tap(two: Two) -> None:
    two.put(two.ben, "kept")
    early = (two.home.now - timedelta(hours=2)).isoformat()
    assert two.put(two.ana, "missed", tapped_at=early).status_code == 409
    own = two.put(two.ben, "missed", tapped_at=early)
    assert (own.status_code, own.json()["checklist"][0]["mark"]) == (200, "kept")


def test_a_late_mark_keeps_the_hour_of_its_tap(two: Two) -> None:
    early = two.home.now - timedelta(hours=2)
    assert two.put(two.ana, "kept", tapped_at=early.isoformat()).status_code == 200
    assert two.line()["marked_by"]["at"] == early.isoformat().replace("+00:00", "Z")
    two.put(two.ben, "missed", tapped_at=(two.home.now + timedelta(hours=1)).isoformat())
    assert two.line()["marked_by"]["at"] == two.home.now.isoformat().replace("+00:00", "Z")


def test_a_late_mark_of_a_day_that_is_closed_is_refused_as_any_other(two: Two) -> None:
    two.home.now += timedelta(days=9)
    early = (two.home.now - timedelta(days=9)).isoformat()
    gone = two.home.today - timedelta(days=9)
    answer = two.ana.put(f"/api/days/{gone}/marks/{BED}", json={"mark": "kept", "tapped_at": early})
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/not-editable")


@pytest.mark.parametrize(
    "written",
    ["2027-01-25", "2027-01-25T08:00:00", "2027-13-25T08:00:00Z", 1790000000, "0001-01-01T00:00:00+01:00"],
)
def test_an_instant_has_a_date_a_time_and_an_offset(two: Two, written: object) -> None:
    assert two.put(two.ana, "kept", tapped_at=written).status_code == 422


@pytest.mark.parametrize("written", ["2027-01-25t08:00:00.123456789z", "2027-01-25T08:00:60+01:00"])
def test_an_instant_is_read_as_the_standard_writes_it(two: Two, written: str) -> None:
    assert two.put(two.ana, "kept", tapped_at=written).status_code in {200, 409}


def test_a_line_is_taken_and_given_back_until_it_is_marked(two: Two) -> None:
    address = f"/api/days/{two.home.today}/taken/{BED}"
    assert two.ana.put(address).json()["checklist"][0]["mine"]["name"] == "Ana"
    assert two.ben.put(address).json()["checklist"][0]["mine"]["name"] == "Ben"
    assert two.ana.delete(address).json()["checklist"][0]["mine"] is None
    two.ana.put(address)
    two.put(two.ben, "kept")
    assert two.line()["mine"] is None
    assert two.ana.put(address).status_code == 409


def test_a_line_is_taken_today_alone_and_by_somebody_who_is_known(two: Two) -> None:
    yesterday = two.home.today - timedelta(days=1)
    assert two.ana.put(f"/api/days/{yesterday}/taken/{BED}").status_code == 409
    assert two.home.http.put(f"/api/days/{two.home.today}/taken/{BED}").status_code == 403
    assert two.ana.put(f"/api/days/{two.home.today}/taken/no-such-step").status_code == 404


def test_the_export_has_names_once_somebody_has_marked_and_is_read_without_them(two: Two) -> None:
    before = two.home.http.get("/api/log.csv").text
    assert before.startswith("date,what,step,value\r\n")
    two.put(two.ana, "kept")
    signed = two.home.http.get("/api/log.csv").text
    assert signed.startswith("date,what,step,value,by\r\n")
    assert signed.endswith(f"{two.home.today},kept,{BED},,Ana\r\n")
    data.load(two.home.app.state.context, "home", signed)
    assert two.line()["marked_by"] is None
    assert two.home.http.get("/api/log.csv").text.startswith("date,what,step,value\r\n")


def test_a_week_says_the_minutes_of_the_lines_that_each_marked(two: Two) -> None:
    assert [one["minutes"] for one in two.ana.get("/api/week").json()["by_member"]] == [0, 0]
    two.put(two.ben, "small")
    two.home.http.put(f"/api/days/{two.home.today}/marks/table-cleared", json={"mark": "kept"})
    two.put(two.ana, "missed", "kitchen-closed")
    found = [(one["name"], one["minutes"]) for one in two.ana.get("/api/week").json()["by_member"]]
    assert found == [("Ana", 0), ("Ben", 2), ("", 5)]
    page = two.ana.get("/week").text
    assert "Minutes of the lines that were marked kept or small this week" in page
    assert "<bdi>Ben</bdi> " in page
    assert "without a name" in page
