"""Dinners, favourites and shopping as JSON: what they answer, and what they refuse."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.kitchen.full_week import CHICKEN, SOUP, a_full_week, ask

if TYPE_CHECKING:
    from web.house import House

TUESDAY = "/api/dinners/2027-01-05"


def test_a_dinner_is_answered_with_when_it_has_to_thaw_and_the_caution(house: House) -> None:
    found = ask(house, "PUT", TUESDAY, SOUP)
    [item] = found["dinner"]["frozen"]
    assert (found["date"], found["dinner"]["dish"], item["weight"]) == (
        "2027-01-05",
        "Chicken soup",
        "1.4 kg",
    )
    assert (item["refrigerator_by"], item["not_before"]) == ("2027-01-04", "2027-01-02")
    assert item["cold_water_by"] == "2027-01-05T15:57:00"
    assert found["caution"]["source"].startswith("USDA")
    assert ask(house, "GET", TUESDAY) == found


def test_a_dinner_can_be_put_replaced_and_deleted_again_and_again(house: House) -> None:
    for _ in range(2):
        assert ask(house, "PUT", TUESDAY, {"dish": "Toast"})["dinner"]["dish"] == "Toast"
    for _ in range(2):
        assert ask(house, "DELETE", TUESDAY)["dinner"] is None


def test_a_favourite_is_kept_put_changed_and_dropped(house: House) -> None:
    answer = house.http.post("/api/favourites", json={"dish": "Pancakes", "cooking": 20})
    assert (answer.status_code, answer.headers["location"]) == (201, "/api/favourites/pancakes")
    found = ask(house, "PUT", TUESDAY, {"favourite": "pancakes", "time": "12:00"})
    assert (found["dinner"]["dish"], found["dinner"]["cooking"]) == ("Pancakes", 20)
    ask(house, "PUT", "/api/favourites/pancakes", {"dish": "Thin pancakes"})
    assert [one["dish"] for one in ask(house, "GET", "/api/favourites")["favourites"]] == ["Thin pancakes"]
    assert ask(house, "DELETE", "/api/favourites/pancakes") == {"favourites": []}


def test_something_frozen_leaves_the_freezer_and_comes_back(house: House) -> None:
    ask(house, "PUT", TUESDAY, SOUP)
    for _ in range(2):
        found = ask(house, "PUT", f"{TUESDAY}/frozen/1", {"left": True})
        assert found["dinner"]["frozen"][0]["stage"] == "left"
    found = ask(house, "PUT", f"{TUESDAY}/frozen/1", {"left": False})
    assert found["dinner"]["frozen"][0]["stage"] == "refrigerator"


def test_the_week_tells_what_has_to_move(house: House) -> None:
    a_full_week(house)
    found = ask(house, "GET", "/api/dinners")
    moves = {
        name: [move["dish"] for move in found["moves"][name]] for name in ("today", "tomorrow", "behind")
    }
    assert moves == {"today": ["Chicken soup"], "tomorrow": ["The same again"], "behind": ["Fish pie"]}
    assert ask(house, "GET", "/api/dinners?week=2027-W01") == found
    assert found["moves"]["caution"] is not None


def test_the_shopping_list_is_ticked_and_shared(house: House) -> None:
    a_full_week(house)
    found = ask(house, "GET", "/api/shopping")
    names = {name: [item["text"] for item in found[name]] for name in ("to_buy", "in_basket", "at_home")}
    assert names == {"to_buy": ["1000 g rice"], "in_basket": ["1 leek"], "at_home": ["2 onion"]}
    assert house.http.get("/shopping.txt").text == found["text"] == "- 1000 g rice\n"
    assert ask(house, "PUT", "/api/shopping", {"key": "rice", "tick": "in-basket"})["to_buy"] == []
    assert ask(house, "GET", "/api/shopping?days=1")["planned"] == 1


A_LOT = SOUP | {"frozen": [CHICKEN | {"weight": "a lot"}]}
SUNDAY = "/api/dinners/2027-01-03"
OVER = "Sunday 3 January 2027 is over, so its dinner can no longer be planned. Choose today or a later date."
NO_WEIGHT = "“a lot” is not a weight. Write it in kg or lb, such as 1.2 kg or 14 lb."
NO_FAVOURITE = "There is no favourite “moon”. It may have been taken off meanwhile."
NO_WEEK = "There is no such week. The year 2027 has no week 60. Weeks run from 1 to 52 or 53."


@pytest.mark.parametrize(
    ("method", "path", "body", "status", "said"),
    [
        ("PUT", TUESDAY, A_LOT, 422, NO_WEIGHT),
        ("PUT", SUNDAY, SOUP, 409, OVER),
        ("DELETE", SUNDAY, None, 409, OVER),
        ("PUT", TUESDAY, {"favourite": "moon"}, 404, NO_FAVOURITE),
        (
            "PUT",
            f"{TUESDAY}/frozen/1",
            {"left": True},
            404,
            "The dinner of 5 January 2027 has no frozen item 1.",
        ),
        ("GET", "/api/dinners?week=2027-W60", None, 404, NO_WEEK),
    ],
)
def test_what_cannot_be_done_gets_one_clear_sentence_and_changes_nothing(
    house: House, method: str, path: str, body: object, status: int, said: str
) -> None:
    before = [house.http.get(f"/api/{name}").json() for name in ("dinners", "favourites")]
    answer = house.http.request(method, path, json=body)
    assert (answer.status_code, answer.json()["detail"]) == (status, said)
    assert answer.headers["content-type"] == "application/problem+json"
    assert [house.http.get(f"/api/{name}").json() for name in ("dinners", "favourites")] == before


def test_every_fault_is_named_with_its_field(house: House) -> None:
    wrong = {"dish": "", "frozen": [CHICKEN | {"weight": "a lot"}], "time": "late"}
    fields = house.http.put(TUESDAY, json=wrong).json()["fields"]
    assert [one["field"] for one in fields] == ["dish", "frozen-1-weight", "time"]
    assert all(one["reason"].endswith(".") for one in fields)


@pytest.mark.parametrize("path", ["/api/dinners", "/api/favourites", "/api/shopping"])
def test_before_the_start_it_is_said_where_to_start(empty: House, path: str) -> None:
    answer = empty.http.get(path)
    assert (answer.status_code, answer.json()["start"]) == (409, "/start")
