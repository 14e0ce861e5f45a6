"""Forms of a page filled as a browser would, with every ticked box."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from web.areas.house import get
from web.forms import values

if TYPE_CHECKING:
    from web.house import House
    from web.markup import Element

Sent = dict[str, Any]


def form_with(page: Element, field: str, action: str = "") -> Element:
    """The first form with a field or a button of that name, and with that action if one is said."""
    for form in page.every("form"):
        names = {part.attributes.get("name") for part in form.every()}
        if field in names and action in {"", form.attributes["action"]}:
            return form
    raise AssertionError(f"no form with {field} for {action or 'anything'}")


def filled(form: Element) -> Sent:
    """What a form holds: a field that can be ticked several times is a list."""
    held: Sent = dict(values(form))
    for box in form.every("input", type="checkbox"):
        held[box.attributes["name"]] = []
    for box in form.every("input", type="checkbox", checked=""):
        held[box.attributes["name"]].append(box.attributes["value"])
    return held


def standing(house: House) -> tuple[Any, Any]:
    """All that a form of the areas can change."""
    answer = house.http.get("/api/rotation")
    return get(house, "/api/areas"), answer.json()
