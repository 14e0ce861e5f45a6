"""Where a member may have messages sent, and that nothing at home is among it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.machine import outside
from machine.push_service import Browser
from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator

BROWSER = Browser()


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A house that sends to browsers and by mail."""
    house = House(
        tmp_path_factory.mktemp("house"),
        push="on",
        push_contact="mailto:ana@home.example",
        mail_server="localhost",
        mail_from="steading@home.example",
    )
    house.start()
    yield house
    house.close()


def asked(house: House, way: str, address: str) -> tuple[int, str]:
    """What comes of asking for messages there: the status, and what is said."""
    keys = {"key": BROWSER.key, "auth": BROWSER.auth} if way == "push" else {}
    answer = house.http.put("/api/reminder", json={"way": way, "at": "08:00", "address": address, **keys})
    kept = house.http.get("/api/reminder").json()["reminder"]
    assert (kept is None) == (answer.status_code != 200)
    house.http.delete("/api/reminder")
    return answer.status_code, answer.json().get("detail", "")


@pytest.mark.parametrize(
    "host",
    ["localhost", "127.0.0.1", "[::1]", "192.168.1.1", "10.0.0.1", "169.254.169.254", "2130706433", "0x7f.1",
     "router.local", "steading.home.arpa", "home", "[::ffff:127.0.0.1]", "127.0.0.1.", "push.example.net:22"],
)  # fmt: skip
def test_a_push_address_at_home_is_refused_with_words(house: House, host: str) -> None:
    status, said = asked(house, "push", f"https://{host}/send")
    assert (status, said[-1:]) == (422, ".")


def test_a_name_that_leads_home_is_refused_and_one_of_the_internet_is_taken(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    leads = {"inside.example.net": "127.0.0.1", "push.example.net": "8.8.8.8"}

    class Resolver:
        @staticmethod
        def getaddrinfo(name: str, port: int, **_: object) -> list[tuple[object, ...]]:
            return [(2, 1, 6, "", (leads[name], port))]

        SOCK_STREAM = 1

    monkeypatch.setattr(outside, "socket", Resolver)
    status, said = asked(house, "push", "https://inside.example.net/send")
    assert (status, "leads to this machine" in said) == (422, True)
    assert asked(house, "push", "https://push.example.net/send")[0] == 200


def test_keys_that_are_none_are_refused(house: House) -> None:
    wish = {"way": "push", "at": "08:00", "address": "https://push.example.net/x", "key": "no", "auth": "no"}
    answer = house.http.put("/api/reminder", json=wish)
    assert (answer.status_code, house.http.get("/api/reminder").json()["reminder"]) == (422, None)


@pytest.mark.parametrize(
    "address", ["ana", "ana@localhost", "a@b.example, c@d.example", "a@b.example\r\nBcc: c@d.example"]
)
def test_what_is_no_address_of_mail_is_refused(house: House, address: str) -> None:
    assert asked(house, "mail", address)[0] == 422


def test_an_address_of_mail_is_taken(house: House) -> None:
    assert asked(house, "mail", "ana@home.example")[0] == 200
