"""A house with its areas set up: day 1 is Monday 4 January 2027."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from web.house import House

ROOMS = ["Hall", "Kitchen", "Living room", "Bathroom", "Toilet", "Bedroom", "Kids' room", "Study"]


def set_up(house: House, rooms: list[str] | None = None) -> House:
    """The house with these rooms divided into areas as proposed."""
    answer = house.http.post("/api/areas/set-up", json={"rooms": rooms or ROOMS})
    assert answer.status_code == 201, answer.text
    return house


def get(house: House, path: str) -> Any:  # noqa: ANN401  any JSON
    """What a path answers."""
    answer = house.http.get(path)
    assert answer.status_code == 200, answer.text
    return answer.json()


def first_listed(house: House) -> str:
    """The id of the first task on this week's list."""
    return str(get(house, "/api/area-week")["areas"][0]["listed"][0]["task"])
