"""A calendar as a program fetches it: without a cookie, named by its bytes; a wrong address finds nothing."""

from __future__ import annotations

import logging
from datetime import UTC, timedelta
from email.utils import format_datetime
from typing import TYPE_CHECKING

import pytest
from icalendar import Calendar

from coach.calendar import feeds
from coach.errors import NotAllowed
from coach.ground.people import Caller
from coach.limits import FETCHES
from web.at_home import HomeHouse
from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from httpx2 import Response

NOTHING = b"There is no such calendar.\n"


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    house = House(tmp_path)
    house.start()
    house.live(8)
    yield house
    house.close()


@pytest.fixture
def home(tmp_path: Path) -> Iterator[HomeHouse]:
    house = HomeHouse(tmp_path)
    house.start()
    yield house
    house.close()


def path_of(house: House, *holds: str, name: str = "Ana") -> str:
    body = {"name": name} | ({"holds": list(holds)} if holds else {})
    return str(house.http.post("/api/feeds", json=body).json()["path"])


def tag(answer: Response) -> str:
    return str(answer.headers["etag"])


def test_a_calendar_is_sent_with_what_names_it_and_may_be_kept_by_whoever_fetched_it(house: House) -> None:
    answer = house.http.get(path_of(house))
    headers = answer.headers
    assert answer.status_code == 200
    assert headers["content-type"] == "text/calendar; charset=utf-8"
    assert headers["cache-control"] == "private, no-cache"
    assert headers["content-disposition"] == 'inline; filename="steading.ics"'
    assert headers["referrer-policy"] == "same-origin"
    assert headers["etag"].strip('"').isalnum()
    assert str(Calendar.from_ical(answer.content)["name"]) == "Ana"


def test_head_says_the_same_and_sends_nothing(house: House) -> None:
    path = path_of(house)
    whole, head = house.http.get(path), house.http.head(path)
    assert (head.status_code, head.content, tag(head)) == (200, b"", tag(whole))
    assert head.headers["content-length"] == str(len(whole.content))


def test_who_has_it_already_is_told_so(house: House) -> None:
    path = path_of(house)
    whole = house.http.get(path)
    for asked in (
        {"if-none-match": tag(whole)},
        {"if-none-match": f'"another", W/{tag(whole)}'},
        {"if-none-match": "*"},
    ):
        answer = house.http.get(path, headers=asked)
        assert (answer.status_code, answer.content, tag(answer)) == (304, b"", tag(whole)), asked
    assert house.http.get(path, headers={"if-none-match": '"another"'}).status_code == 200


def test_it_stays_the_same_while_nothing_changes_and_is_another_after_a_mark(house: House) -> None:
    path = path_of(house)
    first = house.http.get(path)
    house.app.state.context.memo.forget()
    house.now += timedelta(hours=3)
    assert house.http.get(path).content == first.content
    house.mark(house.day()["checklist"][0]["step"])
    assert tag(house.http.get(path)) != tag(first)


def test_it_moves_on_with_the_days(house: House) -> None:
    path = path_of(house, "routines")
    first = tag(house.http.get(path))
    house.sleep()
    assert house.http.get(path, headers={"if-none-match": first}).status_code == 200


def test_another_process_names_it_the_same(house: House, tmp_path: Path) -> None:
    path = path_of(house)
    first = house.http.get(path)
    again = House(tmp_path)
    again.now = house.now
    assert again.http.get(path, headers={"if-none-match": tag(first)}).status_code == 304
    again.close()


def test_another_name_or_other_things_in_it_make_it_another(house: House) -> None:
    path = path_of(house)
    first = tag(house.http.get(path))
    feed = house.http.get("/api/feeds").json()["feeds"][0]["id"]
    assert house.http.patch(f"/api/feeds/{feed}", json={"holds": ["dues"]}).status_code == 200
    later = format_datetime((house.now + timedelta(minutes=1)).astimezone(UTC), usegmt=True)
    for asked in ({"if-none-match": first}, {"if-modified-since": later}):
        answer = house.http.get(path, headers=asked)
        assert (answer.status_code, tag(answer) == first) == (200, False), asked


def test_it_is_not_compressed(house: House) -> None:
    answer = house.http.get(path_of(house), headers={"accept-encoding": "gzip"})
    assert "content-encoding" not in answer.headers
    assert len(answer.content) > 1024


WRONG = ("a" * 43, "", "x", "a/b", "%00", "é", "..%2f..%2fetc", "x" * 3000, "a.ics")


def test_a_wrong_an_ended_an_old_and_a_malformed_secret_find_the_same_nothing(house: House) -> None:
    old, ended = path_of(house), path_of(house)
    first, second = (one["id"] for one in house.http.get("/api/feeds").json()["feeds"])
    assert house.http.post(f"/api/feeds/{first}/secret").status_code == 200
    assert house.http.delete(f"/api/feeds/{second}").status_code == 200
    answers = [house.http.get(path) for path in (old, ended, *(f"/calendar/{one}.ics" for one in WRONG))]
    assert {(one.status_code, one.content) for one in answers} == {(404, NOTHING)}
    shown = [dict(one.headers) for one in answers]
    assert shown == shown[:1] * len(shown)


def test_whatever_does_not_fit_costs_one_look_and_no_write(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    looks: list[str] = []
    store = house.app.state.context.store
    fed = store.fed

    def counted(secret: str) -> object:
        looks.append(secret)
        return fed(secret)

    monkeypatch.setattr(store, "fed", counted)
    for name in ("reading", "writing", "people_reading", "people_writing", "version"):
        monkeypatch.setattr(store, name, None)
    for one in WRONG:
        assert house.http.get(f"/calendar/{one}.ics").status_code == 404
    assert [len(one) for one in looks] == [64] * len(WRONG)


def test_a_phone_that_was_never_paired_fetches_it_and_nothing_else(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    path = ana.post("/api/feeds", json={"name": "phone"}).json()["path"]
    stranger = home.phone(40)
    assert stranger.get(path).status_code == 200
    assert stranger.get(path.removesuffix(".ics")).status_code == 401
    assert stranger.get("/calendar").status_code == 401
    assert stranger.post(path).status_code == 405


def test_a_feed_ends_when_its_person_leaves(home: HomeHouse) -> None:
    ana, ben = home.paired("Ana"), home.paired("Ben", 8)
    path = ben.post("/api/feeds", json={"name": "phone"}).json()["path"]
    person = next(one["person"] for one in ana.get("/api/people").json()["people"] if one["name"] == "Ben")
    assert home.http.get(path).status_code == 200
    assert ana.delete(f"/api/people/{person}").status_code == 200
    assert home.http.get(path).status_code == 404


def test_whoever_was_taken_out_while_they_waited_makes_no_feed(home: HomeHouse) -> None:
    context = home.app.state.context
    gone = Caller("home", "member", "nobody", "Ben")
    with pytest.raises(NotAllowed):
        feeds.make(context, gone, "phone", ["jobs"])
    with context.store.people_reading() as people:
        assert people.feeds("home") == []


def test_when_it_was_fetched_is_known_to_the_hour_and_changes_nothing(house: House) -> None:
    path = path_of(house)
    first = tag(house.http.get(path))
    began = house.now
    for minutes, told in ((30, 0), (90, 90)):
        house.now = began + timedelta(minutes=minutes)
        assert tag(house.http.get(path)) == first
        [feed] = house.http.get("/api/feeds").json()["feeds"]
        assert feed["last_fetched"] == f"{began + timedelta(minutes=told):%Y-%m-%dT%H:%M:%SZ}"


def test_the_secret_is_in_no_log_and_not_in_the_database(
    house: House, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG, logger="coach")
    path = path_of(house)
    secret = path.removeprefix("/calendar/").removesuffix(".ics")
    for asked in (path, f"{path}x", path.replace(".ics", ""), f"{path}?a={secret}"):
        house.http.get(asked)
        house.http.post(asked)
    files = b"".join(one.read_bytes() for one in house.file.parent.iterdir() if one.is_file())
    assert secret.encode() not in files
    assert not [record for record in caplog.records if secret in record.getMessage()]
    assert "way-in, POST /api/feeds: done" in [record.getMessage() for record in caplog.records]


def test_one_that_is_sent_whole_very_often_has_to_wait_and_who_has_it_need_not(house: House) -> None:
    path = path_of(house, "dues")
    first = house.http.get(path)
    answers = [house.http.get(path) for _ in range(FETCHES)]
    assert [one.status_code for one in answers] == [200] * (FETCHES - 1) + [429]
    assert 1 <= int(answers[-1].headers["retry-after"]) <= 60
    assert house.http.get(path, headers={"if-none-match": tag(first)}).status_code == 304
    house.now += timedelta(minutes=1)
    assert house.http.get(path).status_code == 200


def test_one_that_has_to_wait_is_not_worked_out(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    path = path_of(house, "dues")
    first = house.http.get(path)
    monkeypatch.setattr(house.app.state, "fetches", NoneLeft())
    monkeypatch.setattr(house.app.state.context.store, "reading", None)
    assert house.http.get(path).status_code == 429
    assert house.http.get(path, headers={"if-none-match": tag(first)}).status_code == 304


class NoneLeft:
    """No calendar is sent whole any more."""

    def waits(self, *_: object) -> int:
        return 7


def test_it_is_gone_with_the_household(house: House) -> None:
    path = path_of(house)
    with house.app.state.context.store.writing("home") as writing:
        writing.clear()
    assert house.http.get(path).content == NOTHING
