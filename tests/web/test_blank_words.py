"""Words that say nothing, or far too much, in every form and body: an answer, never a fault of ours."""

from __future__ import annotations

import datetime as dt
import json
import types
from typing import TYPE_CHECKING, Annotated, Any, Literal, Union, get_args, get_origin
from urllib.parse import urlencode

import pytest
from fastapi.routing import iter_route_contexts
from pydantic import BaseModel

from web.areas.house import set_up
from web.asking import client_of
from web.house import ADDRESS, House
from web.kitchen.full_week import ask
from web.week.house import grown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fastapi.dependencies.models import Dependant

CHANGING = {"POST", "PUT", "PATCH"}
WORDS = {
    "empty": "",
    "lines of nothing": "  \n \r\n\t\n",
    "invisible": "\u200b\u2060\ufeff\u202e\u200f",
    "half a character": "\ud800",
    "long": "x" * 3_000,
}
PLACES = {
    "step": "out-and-back",
    "line": "1",
    "slot": "evening",
    "date": "2027-02-01",
    "week": "2027-W05",
    "number": "1",
    "favourite": "pancakes",
    "due": "20270130-0001",
    "todo": "20270130-0001",
    "page": "20270130-0001",
    "area": "kitchen",
    "task": "t32",
    "person": "nobody",
    "device": "none",
    "token": "none",
    "feed": "none",
    "passkey": "none",
    "group": "none",
    "household": "none",
    "question": "none",
    "answer_id": "none",
}
FITTING: dict[str, Any] = {
    "repeats": "FREQ=WEEKLY;BYDAY=SA",
    "repeat": "weekly",
    "weekdays": ["SA"],
    "weight": "1 kg",
    "on": "2027-02-01",
    "zone": "UTC",
    "day_starts": "03:00",
    "time": "18:00",
    "minutes": "10",
    "minutes_a_week": "10",
    "spot_minutes": "10",
    "pace": "standard",
    "task": "t33",
    "area": "kitchen",
    "other": "hall",
    "kind": "errand",
    "catalogue": "water",
    "frozen": [],
    "after": [],
    "after_any": [],
    "caution": None,
}
"""What a field of that name takes; any other text is a few words."""
SENT_FREELY = {
    "/dinner": ("2027-02-01-dish", "2027-02-01-ingredients", "2027-02-01-frozen-1-name"),
    "/dinner/favourites": ("new_dish-dish", "new_dish-ingredients", "new_dish-frozen-1-name"),
}
"""Forms whose fields no model names."""
LAST = ("/api/areas", "/areas/undo", "/api/areas/undo")
"""Addresses that may leave less behind than they found."""


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    house = grown(House(tmp_path_factory.mktemp("words")))
    set_up(house, ["Kitchen", "Pantry", "Hall", "Bathroom", "Bedroom"])
    ask(house, "POST", "/api/favourites", {"dish": "Pancakes"})
    ask(house, "POST", "/api/dues", {"name": "Rent", "on": "2027-02-28"})
    ask(house, "POST", "/api/to-dos", {"titles": ["Mend the tap"], "kind": "put-off"})
    house.http = client_of(house.app, base_url=ADDRESS, raise_server_exceptions=False)
    yield house
    house.close()


Request = tuple[str, str, bool, dict[str, Any]]


def requests_with(home: House, words: str) -> Iterator[Request]:
    """For every text of every form and body, a request in which that text alone is these words."""
    routes = [one for one in iter_route_contexts(home.app.routes) if getattr(one, "methods", None)]
    for route in sorted(routes, key=lambda one: one.path in LAST):
        path = str(route.path)
        for method in CHANGING & (route.methods or set()):
            for body in bodies(path, route.dependant, words):
                yield method, path.format_map(PLACES), path.startswith("/api"), body


def bodies(path: str, dependant: Dependant, words: str) -> Iterator[dict[str, Any]]:
    """The bodies of a route, each with the words in one place."""
    if path in SENT_FREELY:
        names = SENT_FREELY[path]
        yield from (dict.fromkeys(names, "soup") | {name: words} for name in names)
    fields = {one.name: one.field_info.annotation for one in dependant.body_params}
    for name, annotation in fields.items():
        models = [one for one in options(annotation) if isinstance(one, type) and issubclass(one, BaseModel)]
        if name in {"form", "body"}:
            for model in models:
                yield from spoilt(model, words)
        elif str in options(annotation):
            good = {other: fitting(other, kind) for other, kind in fields.items()}
            yield good | {name: words}


def spoilt(model: type[BaseModel], words: str) -> Iterator[dict[str, Any]]:
    """What a model takes, each time with the words in the place of another text of it."""
    fields = {name: one.annotation for name, one in model.model_fields.items()}
    good = {name: fitting(name, kind) for name, kind in fields.items()}
    for name, kind in fields.items():
        yield from (good | {name: bad} for bad in spoilings(kind, words))


def spoilings(kind: object, words: str) -> Iterator[object]:
    """The values of a type with the words in them."""
    for option in options(kind):
        if option is str:
            yield words
        elif get_origin(option) in {list, dict}:
            inner = get_args(option)[-1]
            yield from ([bad] for bad in spoilings(inner, words) if get_origin(option) is list)
        elif isinstance(option, type) and issubclass(option, BaseModel):
            yield from spoilt(option, words)


def options(kind: object) -> list[object]:
    """The types of which a value may be one, without what is noted about them."""
    if get_origin(kind) is Annotated:
        return options(get_args(kind)[0])
    if get_origin(kind) in {Union, types.UnionType}:
        return [one for part in get_args(kind) for one in options(part)]
    return [kind]


def fitting(name: str, kind: object) -> object:
    """A value that a field may take."""
    option = options(kind)[0]
    if get_origin(option) is Literal:
        return get_args(option)[0]
    if name in FITTING and not (name == "minutes" and option is not str):
        return FITTING[name]
    if get_origin(option) is list:
        return [fitting(name, get_args(option)[0])]
    if isinstance(option, type) and issubclass(option, BaseModel):
        return {inner: fitting(inner, one.annotation) for inner, one in option.model_fields.items()}
    return {str: "Shelf", int: 5, bool: True, dt.date: "2027-02-01", type(None): None}.get(option, {})  # type: ignore[call-overload]  # types are keys


def send(home: House, request: Request) -> int:
    """The status that a request is answered with."""
    method, address, as_json, body = request
    if as_json:
        headers = {"content-type": "application/json"}
        return home.http.request(method, address, content=json.dumps(body), headers=headers).status_code
    fields = {name: value for name, value in body.items() if value is not None}
    sent = urlencode(fields, doseq=True, errors="replace")
    headers = {"content-type": "application/x-www-form-urlencoded"}
    return home.http.request(method, address, content=sent, headers=headers).status_code


def test_an_area_whose_rooms_are_all_blank_is_refused_on_its_page_with_everything_kept(home: House) -> None:
    answer = home.http.post("/areas/new", data={"name": "Attic", "rooms": "  \n \u200b"})

    assert answer.status_code == 422
    assert "No room has a name. Name one at least, or leave the rooms out." in answer.text
    assert 'value="Attic"' in answer.text


@pytest.mark.parametrize("body", [{"name": "Attic", "rooms": [" "]}, {"name": " ", "rooms": []}])
def test_an_area_of_blanks_is_refused_in_json(home: House, body: dict[str, Any]) -> None:
    answer = home.http.post("/api/areas", json=body)

    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/malformed")


def test_an_area_without_a_name_is_refused_on_its_page_with_its_rooms_kept(home: House) -> None:
    answer = home.http.post("/areas/new", data={"name": " \u200b ", "rooms": "Attic"})

    assert answer.status_code == 422
    assert "An area has no name." in answer.text
    assert ">Attic</textarea>" in answer.text


@pytest.mark.parametrize(
    ("method", "path", "body"),
    [
        ("POST", "/api/steps", {"title": "\u200b"}),
        ("PATCH", "/api/steps/bed-made", {"title": "\u200b"}),
        ("POST", "/api/dues", {"name": "\u200b", "on": "2027-02-01"}),
        ("POST", "/api/dues", {"name": "\u2800 \u3164", "on": "2027-02-01"}),
        ("POST", "/api/to-dos", {"titles": ["\u200b"]}),
        ("PUT", "/api/dinners/2027-02-01", {"dish": "\u200b"}),
        ("POST", "/api/favourites", {"dish": "\u200b"}),
        ("POST", "/api/areas/kitchen/tasks", {"title": "\u200b", "minutes": 5}),
        ("PUT", "/api/jobs/out-and-back/lines", {"lines": [{"title": "\u200b", "minutes": 5}]}),
        ("POST", "/api/quick", {"kind": "to-do", "title": "\u200b"}),
    ],
)
def test_a_name_that_nobody_can_see_is_none(
    home: House, method: str, path: str, body: dict[str, Any]
) -> None:
    assert home.http.request(method, path, json=body).status_code == 422


@pytest.mark.parametrize("words", WORDS.values(), ids=WORDS)
def test_no_words_make_the_service_fail(home: House, words: str) -> None:
    answers = [(send(home, request), *request) for request in requests_with(home, words)]

    assert [answer for answer in answers if answer[0] >= 500] == []
    assert len(answers) > 150
