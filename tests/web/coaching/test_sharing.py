"""What a household lets its coach see, on its page and as JSON."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from web.coaching.in_a_group import join
from web.house import House
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def grouped(tmp_path: Path) -> Iterator[House]:
    house = House(tmp_path)
    house.start()
    join(house)
    house.live(4)
    yield house
    house.close()


def test_the_page_and_json_say_the_same(grouped: House) -> None:
    found = grouped.http.get("/api/sharing").json()
    text = read(grouped.http.get("/sharing").text).text
    assert found["group"]["coach"] == "Ana"
    assert (found["level"], found["until"], found["history"]) == ("nothing", None, [])
    for step in found["by_name"]["steps"]:
        assert step["title"] in text
    assert found["by_name"]["steps"]
    assert all(word in text for word in ("Tern Street", "Ana", "Spring"))


def test_a_keeper_chooses_by_the_form_or_by_json(grouped: House) -> None:
    last = grouped.today + timedelta(days=30)
    answer = grouped.http.post("/sharing", data={"level": "by name", "until": str(last)})
    assert (answer.status_code, answer.headers["location"]) == (303, "/sharing?said=shared")
    found = grouped.http.get("/api/sharing").json()
    assert (found["level"], found["until"]) == ("by name", str(last))
    grouped.now += timedelta(minutes=1)
    found = grouped.http.put("/api/sharing", json={"level": "counted"}).json()
    assert (found["level"], found["until"]) == ("counted", found["usual_until"])
    assert [one["level"] for one in found["history"]] == ["counted", "by name"]


@pytest.mark.parametrize(
    "body", [{"level": "everything"}, {"level": "counted", "until": "2026-01-01"}, {"until": "2027-02-01"}]
)
def test_what_cannot_be_chosen_is_refused(grouped: House, body: dict[str, str]) -> None:
    assert grouped.http.put("/api/sharing", json=body).status_code == 422
    assert grouped.http.post("/sharing", data=body).status_code == 422
    assert grouped.http.get("/api/sharing").json()["level"] == "nothing"


def test_more_tells_when_it_is_to_be_chosen_again_and_today_does_not(grouped: House) -> None:
    grouped.http.put("/api/sharing", json={"level": "counted", "until": str(grouped.today)})
    grouped.sleep(2)
    assert "has ended" in grouped.http.get("/more").text
    assert "/sharing" not in grouped.http.get("/today").text
    assert "Your choice has ended" in grouped.http.get("/sharing").text


def test_the_group_can_be_left(grouped: House) -> None:
    before = grouped.stands()
    assert grouped.http.post("/sharing/leave").headers["location"] == "/sharing?said=left-group"
    assert grouped.stands() == before
    assert grouped.http.get("/api/sharing").json()["group"] is None
    assert grouped.http.delete("/api/sharing").status_code == 409
    assert "/sharing" not in grouped.http.get("/more").text


def test_a_household_alone_is_told_that_nobody_sees_anything(tmp_path: Path) -> None:
    house = House(tmp_path)
    house.start()
    assert "Nobody but who lives here" in house.http.get("/sharing").text
    assert house.http.put("/api/sharing", json={"level": "counted"}).status_code == 409
    house.close()
