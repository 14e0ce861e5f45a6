"""`/reminders` and `/api/reminder`: asked for, refused with words, tried, ended; nobody else's is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from coach.messages.answers import Outcome
from web.at_home import HomeHouse
from web.house import House
from web.markup import read
from web.messages.with_post import given_post, rung, with_message

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

ANA = {"way": "mail", "at": "07:00", "address": "ana@example.org"}
BROWSER = {"way": "push", "at": "07:00", "address": "https://push.example/1", "key": "k", "auth": "a"}


@pytest.fixture
def home(tmp_path: Path) -> Iterator[HomeHouse]:
    found = HomeHouse(tmp_path)
    found.start()
    given_post(found)
    yield found
    found.close()


@pytest.fixture(scope="module")
def quiet(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A house in which nothing is ever asked for that can be."""
    found = House(tmp_path_factory.mktemp("quiet"))
    found.start()
    given_post(found)
    yield found
    found.close()


def test_before_the_start_there_is_nothing_to_be_reminded_of(empty: House) -> None:
    assert "before the first step" in empty.http.get("/reminders").text
    given_post(empty)
    assert empty.http.put("/api/reminder", json=ANA).status_code == 409


def test_a_message_is_asked_for_and_ended_on_the_page(house: House) -> None:
    given_post(house)
    answer = house.http.post("/reminders", data=ANA)
    assert answer.headers["location"] == "/reminders?said=reminded"
    assert "ana@example.org" in house.http.get("/reminders").text
    house.http.post("/reminders", data={"way": "mail", "at": "21:30"})
    assert house.http.get("/api/reminder").json()["reminder"]["at"] == "21:30"
    house.http.post("/reminders/end")
    assert house.http.get("/api/reminder").json()["reminder"] is None


def test_without_a_mail_server_or_push_it_says_what_is_needed_and_has_no_form_for_them(house: House) -> None:
    page = house.http.get("/reminders").text
    assert "COACH_<wbr>MAIL_<wbr>SERVER" in page
    assert "Sent lately" not in page
    assert "COACH_<wbr>PUSH" in page
    assert 'action="/reminders"' not in page
    refused = house.http.post("/reminders", data=ANA)
    assert refused.status_code == 409
    assert "COACH_MAIL_SERVER" in refused.text


def test_a_browser_is_asked_over_an_encrypted_connection_alone(home: HomeHouse) -> None:
    phone = home.paired("Ana")
    assert "data-subscribe" not in phone.get("/reminders").text
    assert "encrypted connection" in phone.get("/reminders").text
    assert 'data-subscribe="key"' in home.http.get("/reminders").text


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"address": ""}, "e-mail address"),
        ({"address": "nonsense"}, "no e-mail address"),
        ({"at": "25:00"}, "no"),
        ({"at": ""}, "time of day"),
        ({"way": "push", "address": ""}, "This browser"),
        ({"way": "push", "address": "https://push.example/1"}, "keys"),
        ({"address": "x" * 5000}, "no e-mail address"),
    ],
)
def test_what_cannot_be_used_is_said_and_what_was_typed_stays(
    quiet: House, more: dict[str, str], words: str
) -> None:
    answer = quiet.http.post("/reminders", data=ANA | more)
    assert answer.status_code == 422
    assert words in answer.text
    assert quiet.http.get("/api/reminder").json()["reminder"] is None


@pytest.mark.parametrize(
    "body",
    [
        ANA | {"at": "7:00"},
        ANA | {"at": 7},
        ANA | {"way": "pigeon"},
        ANA | {"address": "a@b\nc"},
        ANA | {"address": "x" * 3000},
        ANA | {"device": "x" * 100},
        ANA | {"other": 1},
        {"way": "mail"},
    ],
)
def test_json_that_cannot_be_used_is_refused(quiet: House, body: dict[str, Any]) -> None:
    assert quiet.http.put("/api/reminder", json=body).status_code == 422
    assert quiet.http.get("/api/reminder").json()["reminder"] is None


def test_each_member_sees_their_own_alone_in_every_answer(home: HomeHouse) -> None:
    ana, ben = home.paired("Ana"), home.paired("Ben", 8)
    ana.put("/api/reminder", json=ANA)
    ben.put("/api/reminder", json=ANA | {"address": "ben@example.org", "at": "20:00"})
    for address in ("/reminders", "/api/reminder"):
        assert "ana@" in ana.get(address).text
        assert "ana@" not in ben.get(address).text
        assert "ana@" not in home.http.get(address).text
    ben.delete("/api/reminder")
    assert ana.get("/api/reminder").json()["reminder"]["to"] == "ana@example.org"


def test_the_same_request_of_another_member_is_not_answered_with_the_first_ones_address(
    home: HomeHouse,
) -> None:
    ana, ben = home.paired("Ana"), home.paired("Ben", 8)
    sent = ANA | {"request_id": "one"}
    first = ana.put("/api/reminder", json=sent)
    assert ana.put("/api/reminder", json=sent).content == first.content
    assert ben.put("/api/reminder", json=sent).status_code == 422
    assert ben.delete("/api/reminder?request_id=two").json()["reminder"] is None
    assert ana.get("/api/reminder").json()["reminder"] is not None


def test_who_leaves_the_household_is_sent_nothing_more(home: HomeHouse) -> None:
    home.paired("Ana")
    home.paired("Ben", 8).put("/api/reminder", json=ANA)
    ben = next(one for one in home.http.get("/api/people").json()["people"] if one["name"] == "Ben")
    assert home.http.post(f"/people/{ben['person']}/remove").status_code == 303
    home.now = home.now.replace(day=5, hour=7)
    assert rung(home).looked == 0


def test_a_message_to_try_it_says_what_came_of_it(house: House) -> None:
    post = given_post(house)
    assert house.http.post("/reminders/test").status_code == 409
    house.http.post("/reminders", data=ANA)
    assert "One message to try it: Sent." in house.http.post("/reminders/test").text
    assert house.http.post("/reminders/test").status_code == 429
    house.sleep()
    post.answers = [Outcome("refused", "The mail server knows no such mailbox.")]
    assert "knows no such mailbox" in house.http.post("/reminders/test").text


def test_what_was_sent_lately_stands_on_the_page_with_what_came_of_it(house: House) -> None:
    with_message(house)
    told = read(house.http.get("/reminders").text).text
    assert "Today at 07:00 The one of the day. Sent." in told


def test_what_a_message_says_holds_nothing_of_the_home(house: House) -> None:
    house.http.post("/api/dues", json={"name": "Secret rent", "on": "2027-01-04"})
    with_message(house)
    _, letter = house.app.state.carrier.carried[-1]
    lesson = house.day()["lesson"]["title"]
    assert (letter.title, letter.body) == (lesson, "1 line today.")
    assert "Secret" not in str(letter)
