"""Two people at the forms of habits, week, household and kitchen: nothing is undone unseen, or done twice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import pytest

from web.forms import send
from web.kitchen.full_week import ask
from web.markup import read
from web.week.house import JOB, six_lines

if TYPE_CHECKING:
    from collections.abc import Callable

    from web.house import House
    from web.markup import Element

Sent = dict[str, Any]
TUESDAY = "2027-01-05"


def form_of(page: Element, address: str) -> Sent:
    """What the form of that address would send, fields of one name as a list."""
    found: Sent = {}
    form = page.one("form", action=address)
    for field in form.every():
        name = field.attributes.get("name")
        if name is None or field.tag not in {"input", "select", "textarea"}:
            continue
        if field.attributes.get("type") in {"radio", "checkbox"} and "checked" not in field.attributes:
            continue
        value = field.attributes.get("value", "")
        if field.tag == "textarea":
            value = "".join(part for part in field.inside if isinstance(part, str))
        elif field.tag == "select":
            options = [one for one in field.every("option") if "selected" in one.attributes]
            value = (
                options[0].attributes["value"] if options else next(field.every("option")).attributes["value"]
            )
        found.setdefault(name, []).append(value)
    return {name: texts[0] if len(texts) == 1 else texts for name, texts in found.items()}


@dataclass(frozen=True)
class Room:
    """A form that two people have open.

    Attributes:
        page: Where it is shown.
        address: Where it is sent to.
        theirs: What one changes.
        ours: What the other changes, elsewhere in it.
        same: What the other changes instead: the same as the one.
        both: What is shown then: what is there, and the other's.
        now: What there is of the fields of `theirs` and `ours`, or `same`, by a GET.
        kept: That after both were saved.
    """

    page: str
    address: str
    theirs: Sent
    ours: Sent
    same: Sent
    both: list[str]
    now: Callable[[House], Any]
    kept: Any
    lines: bool = False
    field: str = ""


def _step(house: House) -> Any:  # noqa: ANN401  JSON
    step = ask(house, "GET", "/api/steps/bed-made")
    return [step["cue"], step["minutes"], step["slot"], step["repeats"]]


def _lines(house: House) -> Any:  # noqa: ANN401  JSON
    return [[one["title"], one["minutes"]] for one in ask(house, "GET", f"/api{JOB}")["lines"]][:2]


def _minutes(house: House) -> Any:  # noqa: ANN401  JSON
    found = ask(house, "GET", "/api/available")["minutes"]
    return [found["MO"], found["TU"]]


def _settings(house: House) -> Any:  # noqa: ANN401  JSON
    page = read(house.http.get("/settings").text)
    shown = form_of(page, "/settings")
    return [shown["zone"], shown["minutes"]]


def _dinners(house: House) -> Any:  # noqa: ANN401  JSON
    days = ask(house, "GET", "/api/dinners")["days"]
    return [day["dinner"] and day["dinner"]["dish"] for day in days[1:3]]


def _favourite(house: House) -> Any:  # noqa: ANN401  JSON
    found = ask(house, "GET", "/api/favourites/pancakes")
    return [found["dish"], found["cooking"], found["ingredients"]]


ROOMS = {
    "step": Room(
        "/steps/bed-made",
        "/steps/bed-made/adjust",
        {"cue": "after tea"},
        {"minutes": "4"},
        {"cue": "after coffee"},
        ["after tea", "after coffee"],
        _step,
        ["after tea", 4, "morning", "FREQ=DAILY"],
        field="cue",
    ),
    "step, rhythm": Room(
        "/steps/bed-made",
        "/steps/bed-made/adjust",
        {"repeat": "weekly", "weekdays": ["TH", "MO"]},
        {"slot": "evening"},
        {"repeat": "weekly", "weekdays": ["SA"]},
        ["every Monday and Thursday", "every Saturday"],
        lambda house: _step(house)[2:],
        ["evening", "FREQ=WEEKLY;BYDAY=MO,TH"],
        field="rhythm",
    ),
    "minutes of the week": Room(
        "/week",
        "/week/available",
        {"MO": "60"},
        {"TU": "30"},
        {"MO": "45"},
        ["60 minutes", "45 minutes"],
        _minutes,
        [60, 30],
        field="MO",
    ),
    "settings": Room(
        "/settings",
        "/settings",
        {"zone": "Asia/Tokyo"},
        {"minutes": "40"},
        {"zone": "Europe/Lisbon"},
        ["Tokyo, Asia", "Lisbon, Europe"],
        _settings,
        ["Asia/Tokyo", "40"],
        field="zone",
    ),
    "dinners": Room(
        "/dinner",
        "/dinner",
        {f"{TUESDAY}-dish": "Soup"},
        {"2027-01-06-dish": "Pie"},
        {f"{TUESDAY}-dish": "Stew"},
        ["Soup at 18:00; cooks 60 minutes", "Stew at 18:00; cooks 60 minutes"],
        _dinners,
        ["Soup", "Pie"],
        field=TUESDAY,
    ),
    "favourite": Room(
        "/dinner/favourites",
        "/dinner/favourites",
        {"pancakes-dish": "Thin pancakes"},
        {"pancakes-cooking": "25"},
        {"pancakes-dish": "Thick pancakes"},
        ["Thin pancakes", "Thick pancakes"],
        _favourite,
        ["Thin pancakes", 25, ["4 eggs"]],
        field="dish",
    ),
    "lines": Room(
        f"{JOB}/lines",
        f"{JOB}/lines",
        {"title:0": "Basket"},
        {"minutes:1": "44"},
        {"title:0": "Crate"},
        ["Basket", "Crate"],
        _lines,
        [["Basket", 10], ["Library", 44]],
        lines=True,
        field="title:1",
    ),
}


def changed(form: Sent, change: Sent) -> Sent:
    """The form with some fields typed anew; `title:0` is the first of several of one name."""
    typed = {name: list(text) if isinstance(text, list) else text for name, text in form.items()}
    for name, text in change.items():
        what, _, place = name.partition(":")
        if place:
            typed[what][int(place)] = text
        else:
            typed[name] = text
    return typed


@pytest.fixture(params=list(ROOMS))
def room(request: pytest.FixtureRequest, house: House) -> Room:
    found = ROOMS[request.param]
    if found.lines:
        six_lines(house)
    ask(house, "POST", "/api/favourites", {"dish": "Pancakes", "ingredients": ["4 eggs"], "cooking": 20})
    return found


def test_what_two_people_change_apart_is_kept(house: House, room: Room) -> None:
    shown = form_of(read(house.http.get(room.page).text), room.address)
    send(house, room.address, **changed(shown, room.theirs))
    send(house, room.address, **changed(shown, room.ours))
    assert room.now(house) == room.kept


def test_what_two_people_change_alike_is_shown_side_by_side_and_chosen(house: House, room: Room) -> None:
    shown = form_of(read(house.http.get(room.page).text), room.address)
    send(house, room.address, **changed(shown, room.theirs))
    between = room.now(house)
    answer = house.http.post(room.address, data=changed(shown, room.same | room.ours))
    assert answer.status_code == 409, answer.text
    page = read(answer.text)
    assert [one.text for one in page.one("fieldset", "both").every("dd")] == room.both
    assert room.now(house) == between
    again = form_of(page, room.address)
    send(house, room.address, **again, take=[room.field])
    assert room.now(house) == room.kept


def test_what_was_typed_is_saved_if_nothing_is_taken(house: House, room: Room) -> None:
    shown = form_of(read(house.http.get(room.page).text), room.address)
    send(house, room.address, **changed(shown, room.same | room.ours))
    wanted = room.now(house)
    fresh = form_of(read(house.http.get(room.page).text), room.address)
    send(house, room.address, **changed(fresh, room.theirs))
    answer = house.http.post(room.address, data=changed(shown, room.same | room.ours | {"request_id": []}))
    assert answer.status_code == 409
    send(house, room.address, **form_of(read(answer.text), room.address))
    assert room.now(house) == wanted
