"""A part of the day marked at once, by JSON and by the page, and which parts of a day are folded."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.forms import see, send

if TYPE_CHECKING:
    from web.house import House


WHOLE: dict[str, object] = {"slot": "evening", "mark": "kept"}


@pytest.fixture
def long_list(house: House) -> House:
    """A house in its third week, whose list is long enough to be folded."""
    house.live(20)
    return house


def kept(house: House) -> set[str]:
    return {line["step"] for line in house.day()["checklist"] if line["mark"] == "kept"}


def evening(house: House) -> set[str]:
    return {line["step"] for line in house.day()["checklist"] if line["slot"] == "evening"}


def post(house: House, body: dict[str, object], on: str | None = None) -> tuple[int, dict[str, Any]]:
    answer = house.http.post(f"/api/days/{on or house.today}/marks", json=body)
    return answer.status_code, answer.json()


def test_json_marks_a_part_and_takes_exactly_that_back(long_list: House) -> None:
    status, found = post(long_list, WHOLE | {"request_id": "tap"})
    assert status == 200
    assert kept(long_list) == set(found["changed"]) == evening(long_list)
    assert post(long_list, WHOLE | {"request_id": "tap"}) == (200, found)
    assert post(long_list, WHOLE)[1]["changed"] == []
    status, back = post(long_list, {"steps": found["changed"], "mark": None, "only": "kept"})
    assert (status, back["changed"]) == (200, found["changed"])
    assert kept(long_list) == set()


@pytest.mark.parametrize(
    "body",
    [
        {"slot": "night", "mark": "kept"},
        {"slot": "evening", "mark": None},
        {"steps": [], "mark": "kept"},
        {"slot": "evening", "steps": ["bed-made"], "mark": "kept"},
        {"mark": "kept"},
    ],
)
def test_what_cannot_be_read_marks_nothing(long_list: House, body: dict[str, object]) -> None:
    assert post(long_list, body)[0] == 422
    assert kept(long_list) == set()


def test_a_day_that_is_too_old_or_to_come_is_refused_and_an_unknown_step_too(long_list: House) -> None:
    assert post(long_list, WHOLE, "2027-01-05")[0] == 409
    assert post(long_list, WHOLE, "2027-06-01")[0] == 409
    assert post(long_list, {"steps": ["moon"], "mark": "kept"})[0] == 404


def test_the_page_comes_back_with_the_way_to_undo_it(long_list: House) -> None:
    address = f"/days/{long_list.today}/parts/evening"
    back = send(long_list, address, mark="kept")
    assert back.startswith("/today?swept=")
    assert back.endswith("#part-evening")
    form = see(long_list, back.partition("#")[0]).one("div", id="together-evening").one("form")
    steps = [one.attributes["value"] for one in form.every("input") if one.attributes["name"] == "step"]
    assert set(steps) == kept(long_list) == evening(long_list)
    assert send(long_list, address, mark="undo", step=steps) == "/today#part-evening"
    assert kept(long_list) == set()


def test_htmx_is_given_what_changes_alone(long_list: House) -> None:
    address = f"/days/{long_list.today}/parts/evening"
    answer = long_list.http.post(address, data={"mark": "kept"}, headers={"hx-request": "true"}).text
    assert all(f'id="do-{step}"' in answer for step in evening(long_list))
    assert 'id="do-bed-made"' not in answer
    assert 'class="words"' not in answer


def test_an_address_names_nothing_that_is_not_kept_here(long_list: House) -> None:
    page = see(long_list, "/today?swept=moon,bed-made,<b>")
    assert not list(page.every("input", type="hidden", value="moon"))
    assert "Undo all" not in page.text


def test_the_parts_fold_but_the_one_that_is_on(long_list: House) -> None:
    # Everything has been marked at noon so far, which makes that the hour of the evening's lines too.
    page = see(long_list, "/today").one(id="list")
    assert [one.attributes["id"] for one in page.every("section", "slot")] == ["part-evening"]
    folded = [one.one("h2").text for one in page.every("details", "slot")]
    assert folded == ["Morning", "Anytime"]
    assert not list(see(long_list, f"/days/{long_list.today.replace(day=23)}").every("details", "slot"))


def test_once_a_part_is_marked_the_next_one_with_something_to_do_is_open(long_list: House) -> None:
    for line in long_list.day()["checklist"]:
        if line["slot"] == "evening":
            long_list.mark(line["step"])
    page = see(long_list, "/today").one(id="list")
    assert [one.attributes["id"] for one in page.every("section", "slot")] == ["part-morning"]
