"""Feeds: made, listed, changed, given another address and ended, by whoever may, on the page and in JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.calendar.feeds import MOST_FEEDS
from web.at_home import HomeHouse
from web.house import ADDRESS, House
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from fastapi.testclient import TestClient


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    house = House(tmp_path)
    house.start()
    yield house
    house.close()


@pytest.fixture
def home(tmp_path: Path) -> Iterator[HomeHouse]:
    house = HomeHouse(tmp_path)
    house.start()
    yield house
    house.close()


def made(by: TestClient, name: str = "phone") -> tuple[str, str]:
    """A new feed's id and where it is fetched."""
    answer = by.post("/api/feeds", json={"name": name})
    assert answer.status_code == 201, answer.text
    return answer.json()["feed"]["id"], answer.json()["path"]


def test_a_feed_is_made_on_the_page_and_its_address_shown_this_once(house: House) -> None:
    answer = house.http.post("/calendar", data={"name": "Ana's phone", "holds": ["dues", "jobs"]})
    page = read(answer.text)
    [field] = page.every("input", id="address")
    link = field.attributes["value"]
    assert link.startswith(f"{ADDRESS}/calendar/")
    assert house.http.get(link.removeprefix(ADDRESS)).status_code == 200
    opened = [
        one.attributes["href"] for one in page.every("a") if one.attributes["href"].startswith("webcal")
    ]
    assert opened == [link.replace("http", "webcal", 1)]
    assert "code-picture" not in answer.text
    assert link not in house.http.get("/calendar").text
    [feed] = house.http.get("/api/feeds").json()["feeds"]
    assert (feed["name"], feed["holds"]) == ("Ana's phone", ["jobs", "dues"])


def test_at_home_the_address_is_a_picture_for_a_camera_too(home: HomeHouse) -> None:
    answer = home.paired("Ana").post("/calendar", data={"name": "phone", "holds": "jobs"})
    assert "code-picture" in answer.text
    assert "/calendar/" in answer.text


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"name": " \u200b ", "holds": "jobs"}, "so that you know it again"),
        ({"name": "phone"}, "holds at least one thing"),
        ({"name": "x" * 61, "holds": "jobs"}, "at most 60 characters"),
        ({"name": "phone", "holds": "secrets"}, ""),
        ({"name": "phone", "holds": "jobs", "more": "1"}, ""),
    ],
)
def test_what_cannot_be_made_is_refused_with_what_was_typed(
    house: House, form: dict[str, str], said: str
) -> None:
    answer = house.http.post("/calendar", data=form)
    assert answer.status_code == 422
    assert said in answer.text
    assert house.http.get("/api/feeds").json() == {"feeds": []}


@pytest.mark.parametrize(
    "body",
    [
        {"name": ""},
        {"name": "a\nb"},
        {"name": "phone", "holds": []},
        {"name": "phone", "holds": ["all"]},
        {"name": "phone", "secret": "mine"},
        {"holds": ["jobs"]},
    ],
)
def test_a_program_is_refused_the_same(house: House, body: dict[str, object]) -> None:
    assert house.http.post("/api/feeds", json=body).status_code == 422


def test_there_is_no_calendar_before_the_household_has_begun(tmp_path: Path) -> None:
    house = House(tmp_path)
    answer = house.http.post("/api/feeds", json={"name": "phone"})
    assert answer.json()["type"] == "/problems/not-started"
    assert house.http.get("/calendar").status_code == 200
    house.close()


def test_there_are_only_so_many(house: House) -> None:
    for _ in range(MOST_FEEDS):
        made(house.http)
    answer = house.http.post("/api/feeds", json={"name": "one more"})
    assert (answer.status_code, answer.json()["type"]) == (403, "/problems/not-allowed")


def test_a_feed_keeps_its_address_under_another_name_and_loses_it_with_another_secret(house: House) -> None:
    feed, path = made(house.http)
    changed = house.http.post(f"/calendar/{feed}/change", data={"name": "tablet", "holds": "dinner"})
    assert (changed.status_code, changed.headers["location"]) == (303, "/calendar?said=saved")
    assert b"X-WR-CALNAME:tablet" in house.http.get(path).content
    again = house.http.post(f"/api/feeds/{feed}/secret").json()
    assert again["feed"]["id"] == feed
    assert (house.http.get(path).status_code, house.http.get(again["path"]).status_code) == (404, 200)


def test_another_address_asked_for_again_under_one_id_is_said_again_and_made_once(house: House) -> None:
    feed, _ = made(house.http)
    first, again = (house.http.post(f"/api/feeds/{feed}/secret", json={"request_id": "one"}) for _ in "12")
    assert (first.status_code, first.content) == (200, again.content)
    assert house.http.get(first.json()["path"]).status_code == 200
    with house.app.state.context.store.reading("home") as reading:
        kept = reading.answered("one", house.now)
    assert kept is not None
    assert first.json()["path"] not in kept.body


def test_a_member_sees_and_ends_their_own_and_a_keeper_everybodys(home: HomeHouse) -> None:
    ana, ben = home.paired("Ana"), home.paired("Ben", 8)
    (hers, _), (his, path) = made(ana, "Ana"), made(ben, "Ben")
    assert [one["id"] for one in ben.get("/api/feeds").json()["feeds"]] == [his]
    assert {one["id"] for one in ana.get("/api/feeds").json()["feeds"]} == {hers, his}
    for answer in (
        ben.delete(f"/api/feeds/{hers}"),
        ben.patch(f"/api/feeds/{hers}", json={"name": "mine"}),
        ben.post(f"/api/feeds/{hers}/secret"),
    ):
        assert (answer.status_code, answer.json()["type"]) == (403, "/problems/not-allowed")
    assert ana.delete(f"/api/feeds/{his}").json()["feeds"][0]["id"] == hers
    assert home.http.get(path).status_code == 404


def test_what_happens_to_a_feed_stands_at_the_door_without_its_secret(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    feed, path = made(ana, "the wall")
    ana.post(f"/api/feeds/{feed}/secret")
    ana.delete(f"/api/feeds/{feed}")
    told = ana.get("/devices").text
    for said in ("Calendar: made", "Calendar: given another address", "Calendar: ended"):
        assert said in told
    assert path.removeprefix("/calendar/").removesuffix(".ics") not in told
