"""`/stop/…`: one tap ends messages without signing in, from anywhere; a look at the link changes nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.at_home import HomeHouse
from web.house import House
from web.markup import read
from web.messages.with_post import with_message
from web.test_two_people_rooms import form_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

ONE_CLICK = {"List-Unsubscribe": "One-Click"}
ELSEWHERE = {"origin": "https://mail.example", "sec-fetch-site": "cross-site"}


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[House, str]]:
    """A house in which a message was sent, and the link in it, which nothing ends them by."""
    found = House(tmp_path_factory.mktemp("told"))
    found.start()
    yield found, with_message(found)
    found.close()


def has_reminder(house: House) -> bool:
    """Whether anything is asked for."""
    return house.http.get("/api/reminder").json()["reminder"] is not None


def test_a_look_at_the_link_shows_one_button_and_changes_nothing(house: House) -> None:
    link = with_message(house)
    for method in ("GET", "HEAD"):
        assert house.http.request(method, link).status_code == 200
    assert house.http.get(link).text.count("<button") == 1
    assert has_reminder(house)


def test_one_tap_ends_them_and_a_second_is_as_good(house: House) -> None:
    link = with_message(house)
    first, second = (house.http.post(link) for _ in range(2))
    assert (first.status_code, second.status_code) == (200, 200)
    assert "No more messages come" in first.text
    assert "ended before" in second.text
    assert not has_reminder(house)


def test_a_mail_program_ends_them_by_one_click_from_anywhere_without_a_cookie(house: House) -> None:
    link = with_message(house)
    answer = house.http.post(link, data=ONE_CLICK, headers=ELSEWHERE)
    assert answer.status_code == 200
    assert "set-cookie" not in answer.headers
    assert not has_reminder(house)


@pytest.mark.parametrize("path", ["{link}/back", "/reminders/end", "/stop"])
def test_nothing_else_comes_from_anywhere(told: tuple[House, str], path: str) -> None:
    house, link = told
    assert house.http.post(path.format(link=link), headers=ELSEWHERE).status_code == 403
    assert has_reminder(house)


def test_the_button_of_the_page_takes_it_back(house: House) -> None:
    link = with_message(house)
    before = house.http.get("/api/reminder").json()
    back = f"{link}/back"
    fields = form_of(read(house.http.post(link).text), back)
    assert house.http.post(back, data=fields).status_code == 200
    assert house.http.get("/api/reminder").json() == before
    house.http.post(link)
    assert house.http.post(back, data={"sealed": "nonsense"}).status_code == 409
    assert not has_reminder(house)


@pytest.mark.parametrize("wrong", ["x", "x.y", "...", "%00", "%ff.%ff", "é.é", "a" * 3000])
def test_a_wrong_link_is_not_found_whatever_is_wrong_with_it(told: tuple[House, str], wrong: str) -> None:
    house, link = told
    right = link.removeprefix("/stop/")
    answers = [house.http.get(f"/stop/{one}") for one in (wrong, right[:-1], right.swapcase(), "none.at-all")]
    assert {answer.status_code for answer in answers} == {404}
    assert house.http.post(f"/stop/{wrong}").status_code == 404
    assert has_reminder(house)


def test_a_phone_that_was_never_paired_ends_them_and_sees_nothing_of_the_household(tmp_path: Path) -> None:
    home = HomeHouse(tmp_path)
    home.start()
    link = with_message(home)
    stranger = home.phone(9)
    page = stranger.get(link)
    assert page.status_code == 200
    assert "/today" not in page.text.replace('class="name" href="/today"', "")
    assert "ana@" not in page.text
    assert stranger.get("/stop/none").status_code == 404
    assert stranger.post(link, headers={"origin": "null"}).status_code == 200
    assert not has_reminder(home)
    home.close()
