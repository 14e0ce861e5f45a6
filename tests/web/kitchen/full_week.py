"""A week of dinners, a shopping list and a desk, as a household would have them on Monday 4 January 2027."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from web.house import House

CHICKEN = {"name": "chicken", "weight": "1.4 kg", "kind": "poultry"}
SOUP = {
    "dish": "Chicken soup",
    "ingredients": ["400 g rice", "1 onion"],
    "frozen": [CHICKEN],
    "time": "18:30",
}
COD = {"name": "cod", "weight": "3 lb", "kind": "fish"}
PIE = {"dish": "Fish pie", "ingredients": ["200 g rice", "1 leek"], "frozen": [COD], "time": "13:00"}
RENT = "FREQ=MONTHLY;BYMONTHDAY=28,29,30,31;BYSETPOS=-1"


def ask(house: House, method: str, path: str, body: object = None) -> dict[str, Any]:
    """A request that succeeds, with its answer."""
    answer = house.http.request(method, path, json=body)
    assert answer.status_code in {200, 201}, answer.text
    return dict(answer.json())


def a_full_week(house: House) -> None:
    """Dinners, one too late to thaw; favourites, ticks, dues of every urgency, to-dos of every kind."""
    ask(house, "PUT", "/api/dinners/2027-01-04", PIE)
    ask(house, "PUT", "/api/dinners/2027-01-05", SOUP)
    ask(house, "PUT", "/api/dinners/2027-01-06", SOUP | {"dish": "The same again"})
    ask(house, "POST", "/api/favourites", {"dish": "Pancakes", "ingredients": ["4 eggs"]})
    ask(house, "PUT", "/api/shopping", {"key": "onion", "tick": "at-home"})
    ask(house, "PUT", "/api/shopping", {"key": "leek", "tick": "in-basket"})
    ask(house, "POST", "/api/dues", {"name": "Rent", "on": "2027-01-31", "repeats": RENT, "amount": "900"})
    ask(house, "POST", "/api/dues", {"name": "Library card", "on": "2027-01-05"})
    ask(house, "POST", "/api/dues", {"name": "Water bill", "on": "2027-01-02"})
    ask(house, "POST", "/api/to-dos", {"titles": ["Ring the school"]})
    ask(house, "POST", "/api/to-dos", {"titles": ["Hang the mirror", "Mend the tap"], "kind": "put-off"})
    ask(house, "POST", "/api/to-dos", {"titles": ["Stamps"], "kind": "errand", "place": "Post office"})
