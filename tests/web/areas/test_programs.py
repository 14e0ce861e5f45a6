"""Programs that say what they saw of the areas: late ones write nothing; a tag changes with what it names."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.areas.forms import standing
from web.areas.house import get, set_up

if TYPE_CHECKING:
    from web.house import House

ADDRESSES = ("/api/areas", "/api/areas/hall", "/api/tasks/t1", "/api/rotation")
NEW = {"areas": [{"name": "Whole home", "rooms": ["Hall"]}]}
WRITES: list[tuple[str, str, str, dict[str, Any] | None]] = [
    ("/api/areas", "PUT", "/api/areas", NEW),
    ("/api/areas", "PATCH", "/api/areas", {"minutes_a_week": 45}),
    ("/api/areas", "POST", "/api/areas/undo", None),
    ("/api/areas", "POST", "/api/areas/hall/merge", {"other": "kitchen"}),
    ("/api/areas", "POST", "/api/areas/hall/split", {"name": "Porch", "tasks": ["t2"]}),
    ("/api/areas", "POST", "/api/areas/hall/rooms", {"room": "Porch"}),
    ("/api/areas", "DELETE", "/api/areas/bathroom-and-toilet/rooms?room=Toilet", None),
    ("/api/areas/hall", "PATCH", "/api/areas/hall", {"name": "Corridor"}),
    ("/api/areas/hall", "DELETE", "/api/areas/hall", None),
    ("/api/tasks/t1", "PATCH", "/api/tasks/t1", {"title": "Look up"}),
    ("/api/tasks/t1", "DELETE", "/api/tasks/t1", None),
    ("/api/rotation", "POST", "/api/rotation/skip", {"week": "2027-01-11"}),
    ("/api/rotation", "POST", "/api/rotation/swap", {"week": "2027-01-11", "other": "2027-01-18"}),
    ("/api/rotation", "POST", "/api/rotation/declutter", {"weeks": 2}),
]


@pytest.fixture
def home(house: House) -> House:
    """A house with its areas; t1 is the first task of its hall, which has its turn."""
    return set_up(house)


def etag(house: House, path: str) -> str:
    """The tag of what an address answers."""
    return str(house.http.get(path).headers["etag"])


def meanwhile(house: House, path: str) -> None:
    """Somebody changes what that address answers."""
    if path == "/api/rotation":
        house.http.post("/api/rotation/skip", json={"week": "2027-01-18"})
    else:
        house.http.patch("/api/tasks/t1", json={"minutes": 44})


@pytest.mark.parametrize(("seen", "method", "path", "body"), WRITES)
def test_a_write_on_what_is_gone_writes_nothing_and_one_on_what_stands_is_done(
    home: House, seen: str, method: str, path: str, body: dict[str, Any] | None
) -> None:
    old = etag(home, seen)
    meanwhile(home, seen)
    before = standing(home)
    late = home.http.request(method, path, json=body, headers={"if-match": old})
    assert (late.status_code, late.json()["type"]) == (412, "/problems/outdated"), late.text
    assert late.json()["now"] == get(home, seen)
    assert standing(home) == before
    done = home.http.request(method, path, json=body, headers={"if-match": late.json()["etag"]})
    assert done.is_success, done.text
    assert standing(home) != before


@pytest.mark.parametrize("path", ADDRESSES)
def test_a_tag_stays_for_a_day_and_changes_with_what_it_names(home: House, path: str) -> None:
    first = etag(home, path)
    home.now = home.now.replace(hour=23)
    home.http.put(f"/api/days/{home.today}/tasks/t1")
    home.http.get("/api/today")
    assert etag(home, path) == first
    meanwhile(home, path)
    assert etag(home, path) != first


def test_the_areas_can_be_put_by_who_says_nothing_of_what_they_saw(house: House) -> None:
    none = etag(house, "/api/areas")
    assert house.http.put("/api/areas", json=NEW).is_success
    assert house.http.put("/api/areas", json=NEW, headers={"if-match": none}).status_code == 412
    assert house.http.put("/api/areas", json=NEW).is_success


def test_a_task_tells_its_place_among_the_areas(home: House) -> None:
    second = get(home, "/api/areas/kitchen")["declutter"][1]
    place = {"area": "kitchen", "list": "declutter", "position": 1}
    assert get(home, f"/api/tasks/{second['task']}") == second | place
    assert home.http.get("/api/tasks/t9999").status_code == 404
