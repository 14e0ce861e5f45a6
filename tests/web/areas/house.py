"""A house with its areas set up: day 1 is Monday 4 January 2027."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from web.house import House

ROOMS = ["Hall", "Kitchen", "Living room", "Bathroom", "Toilet", "Bedroom", "Kids' room", "Study"]


SHARED = (
    ["Hall"],
    ["Kitchen"],
    ["Living room"],
    ["Bathroom", "Toilet"],
    ["Bedroom", "Kids' room"],
    ["Study"],
)
AN_HOUR = 60


def set_up(house: House, rooms: list[str] | None = None) -> House:
    """The house divided as proposed for these rooms; without any, `ROOMS` as they are shared in `SHARED`."""
    if rooms is None:
        body: dict[str, Any] = {"areas": [_proposed(house, shared) for shared in SHARED]}
        answer = house.http.put("/api/areas", json=body)
    else:
        answer = house.http.post("/api/areas/set-up", json={"rooms": rooms, "minutes_a_week": AN_HOUR})
    assert answer.is_success, answer.text
    return house


def _proposed(house: House, rooms: list[str]) -> dict[str, Any]:
    """An area of these rooms as it is proposed, to be put."""
    body = {"rooms": rooms, "areas": 1, "minutes_a_week": AN_HOUR}
    (area,) = house.http.post("/api/areas/proposal", json=body).json()["areas"]
    return {key: area[key] for key in ("name", "rooms", "detail", "declutter", "suggestions")}


def get(house: House, path: str) -> Any:  # noqa: ANN401  any JSON
    """What a path answers."""
    answer = house.http.get(path)
    assert answer.status_code == 200, answer.text
    return answer.json()


def first_listed(house: House) -> str:
    """The id of the first task on this week's list."""
    return str(get(house, "/api/area-week")["areas"][0]["listed"][0]["task"])
