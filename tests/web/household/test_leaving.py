"""Leaving with everything by the browser, and coming along with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.household import adopting
from household.moving import NOW
from household.test_leaving import HOSTILE
from web.demo_home import move_in as tern_street_moves_in
from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

SAID = (
    "/api/today", "/api/path", "/api/week", "/api/areas", "/api/dinners/2027-01-26", "/api/favourites",
    "/api/shopping", "/api/dues", "/api/to-dos", "/api/log.csv", "/api/people",
)  # fmt: skip


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    """Tern Street."""
    house = House(tmp_path)
    tern_street_moves_in(house)
    yield house
    house.close()


@pytest.fixture
def other(tmp_path: Path) -> Iterator[House]:
    """A house where nobody has begun."""
    (tmp_path / "other").mkdir()
    house = House(tmp_path / "other")
    house.now = NOW
    yield house
    house.close()


def answers(house: House) -> dict[str, tuple[int, object]]:
    """What a house says, but for the version, which counts what was written."""
    found: dict[str, tuple[int, object]] = {}
    for address in SAID:
        answer = house.http.get(address)
        said = answer.json() if "json" in answer.headers["content-type"] else answer.text
        if isinstance(said, dict):
            said.pop("version", None)
        found[address] = answer.status_code, said
    return found


def brought(house: House, content: bytes) -> str:
    """Send a home, and give where that leads."""
    return str(house.http.post("/data/home", files={"home": ("home.zip", content)}).headers["location"])


def test_an_adopted_home_answers_every_address_as_before(house: House, other: House) -> None:
    answer = house.http.get("/api/home")
    assert answer.headers["content-disposition"] == 'attachment; filename="steading-home.zip"'
    adopting.adopt(other.app.state.context, "home", answer.content)
    assert answers(other) == answers(house)
    assert all(status == 200 for status, _ in answers(house).values())


def test_a_home_is_brought_along_after_it_was_shown_and_can_be_taken_back(house: House, other: House) -> None:
    other.start()
    before, mine = answers(other), house.http.get("/api/home").content
    address = brought(other, mine)
    page = other.http.get(address).text
    assert "Bring this home along?" in page
    assert answers(other) == before
    seen = other.app.state.context.store.version("home").version
    assert other.http.post(address, data={"seen": seen}).headers["location"] == "/data?said=brought-home"
    assert answers(other) == answers(house)
    [kept] = [one for one in other.app.state.context.copies.kept() if one.before]
    seen = other.app.state.context.store.version("home").version
    other.http.post(f"/data/copies/{kept.name}", data={"seen": seen})
    assert answers(other) == before


def test_after_some_weeks_no_other_home_is_brought(house: House, other: House) -> None:
    mine = house.http.get("/api/home").content
    other.start()
    other.sleep(29)
    assert "lived here for longer" in other.http.get("/data/home").text
    assert other.http.post("/data/home", files={"home": ("home.zip", mine)}).status_code == 409


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_wrong_is_shown_beside_the_form(name: str, house: House, other: House) -> None:
    other.start()
    before = answers(other)
    answer = other.http.post(
        "/data/home", files={"home": ("home.zip", HOSTILE[name](house.http.get("/api/home").content))}
    )
    assert answer.status_code in {413, 422}
    assert answers(other) == before


def test_without_a_file_nothing_is_looked_into(other: House) -> None:
    assert other.http.post("/data/home").status_code == 422
    assert other.http.get("/data/home").status_code == 200
