"""The service looks by itself, keeps no request waiting for it, goes on after a fault, and ends at once."""

from __future__ import annotations

import threading
import time
from datetime import timedelta
from typing import TYPE_CHECKING

from starlette.testclient import TestClient

from coach.errors import StoreError
from coach.ground.groups import COUNTED, Enrolment
from coach.settings import Settings
from coach.web.ahead import Served
from coach.web.carrying import KEY, Post
from coach.web.rounds import Rounds
from coach.web.wrote import Wrote
from web.messages.with_post import given_post

if TYPE_CHECKING:
    from collections.abc import Callable

    import pytest
    from starlette.types import Send

    from web.house import House

OFTEN = 0.02
BOUND = 5.0


def until(holds: Callable[[], bool]) -> bool:
    """Whether something comes to hold within a while."""
    end = time.monotonic() + BOUND
    while not holds() and time.monotonic() < end:
        time.sleep(OFTEN)
    return holds()


def asked_for_seven(house: House) -> None:
    """Somebody asked for a message at seven, and it is seven now."""
    house.now = house.now.replace(hour=6)
    house.http.post("/reminders", data={"way": "mail", "at": "07:00", "address": "ana@example.org"})
    house.now = house.now.replace(hour=7)


def test_what_is_due_is_sent_by_the_service_itself_once(house: House) -> None:
    post = given_post(house)
    asked_for_seven(house)
    rounds = Rounds(house.app.state.context, post, OFTEN)
    rounds.begin()
    assert until(lambda: len(post.carried) == 1)
    time.sleep(5 * OFTEN)
    rounds.end()
    assert len(post.carried) == 1


def test_whoever_looks_writes_nothing_since_the_key_is_made_when_the_service_starts(house: House) -> None:
    context = house.app.state.context
    post = Post(Settings(push="on", push_contact="mailto:ana@home.example"), context)
    house.app.state.carrier = post

    def kept() -> str | None:
        with context.store.people_reading() as reading:
            found: str | None = reading.key(KEY)
            return found

    assert house.http.get("/reminders").status_code == 200
    assert house.http.get("/api/reminder").json()["push_key"] == ""
    assert kept() is None
    rounds = Rounds(context, post)
    rounds.begin()
    rounds.end()
    assert kept() is not None
    assert house.http.get("/api/reminder").json()["push_key"] == post.public_key() != ""


def test_pages_are_answered_and_changed_while_a_letter_is_on_its_way(house: House) -> None:
    post, arrives = given_post(house), threading.Event()
    asked_for_seven(house)
    post.on_the_way = lambda: assert_in_time(arrives)
    rounds = Rounds(house.app.state.context, post, OFTEN)
    rounds.begin()
    assert until(lambda: len(post.carried) == 1)
    assert house.http.get("/today").status_code == 200
    assert house.mark("bed-made")
    rounds.end()
    arrives.set()


def assert_in_time(event: threading.Event) -> None:
    """A letter that is on its way until something happens."""
    assert event.wait(BOUND)


def test_a_fault_is_logged_without_anything_personal_and_the_next_round_comes(
    house: House, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    post = given_post(house)
    asked_for_seven(house)
    store, whole = house.app.state.context.store, house.app.state.context.store.people_reading
    failed = threading.Event()

    def torn() -> object:
        if failed.is_set():
            return whole()
        failed.set()
        raise StoreError("ana@example.org")

    monkeypatch.setattr(store, "people_reading", torn)
    rounds = Rounds(house.app.state.context, post, OFTEN)
    rounds.begin()
    assert until(lambda: len(post.carried) == 1)
    rounds.end()
    assert "message: StoreError" in caplog.text
    assert "ana@" not in caplog.text


def test_told_to_end_it_does_not_wait_for_the_next_round(house: House) -> None:
    rounds = Rounds(house.app.state.context, given_post(house), 3600)
    rounds.begin()
    [thread] = [one for one in threading.enumerate() if one.name == "rounds"]
    rounds.end()
    thread.join(BOUND)
    assert not thread.is_alive()
    assert thread.daemon


def test_the_weeks_forecast_is_written_down_once_somebody_has_marked_something_and_by_no_look(
    house: House,
) -> None:
    for day in range(14):
        house.live(1, "missed" if day % 4 == 3 else "kept")
    wrote = Wrote()
    rounds = Rounds(house.app.state.context, given_post(house), OFTEN, wrote)
    rounds.begin()
    before = house.http.get("/path").text
    version = house.day()["version"]
    time.sleep(5 * OFTEN)
    assert house.day()["version"] == version
    marked = house.mark("table-cleared")["version"]
    wrote.note("home")
    assert until(lambda: house.day()["version"] != marked)
    written = house.day()["version"]
    wrote.note("home")
    time.sleep(5 * OFTEN)
    rounds.end()
    assert house.day()["version"] == written
    assert "earlier forecast" not in before


def test_the_application_notes_who_wrote_and_nobody_who_looked(house: House) -> None:
    [wrote] = [one.kwargs["wrote"] for one in house.app.user_middleware if "wrote" in one.kwargs]
    assert isinstance(wrote, Wrote)
    wrote.taken()
    house.http.get("/path")
    assert wrote.taken() == frozenset()
    house.mark("bed-made")
    assert wrote.taken() == {"home"}
    assert wrote.taken() == frozenset()


def test_days_that_have_closed_are_saved_for_the_coach_though_no_message_can_be_sent(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    context, post = house.app.state.context, given_post(house)
    at, until_then = house.now, house.today + timedelta(days=100)
    house.sleep()
    with context.store.writing("home") as writing:
        writing.put_enrolment(Enrolment("home", "Tern Street", "g", at, COUNTED, at, until_then))
    monkeypatch.setattr(post, "prepare", None)
    rounds = Rounds(context, post, OFTEN)
    rounds.begin()

    def saved() -> bool:
        with context.store.reading("home") as reading:
            return reading.followed() is not None

    assert until(saved)
    rounds.end()


def test_what_is_slow_to_load_is_loaded_ahead_once_a_first_page_was_served_and_only_where_many_live(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    loaded: list[str] = []
    monkeypatch.setattr("coach.web.rounds.get_ready", lambda: loaded.append("so"))
    context, post, served = house.app.state.context, given_post(house), threading.Event()
    alone, many = Rounds(context, post, OFTEN), Rounds(context, post, OFTEN, served=served)
    alone.begin()
    many.begin()
    time.sleep(5 * OFTEN)
    assert loaded == []
    served.set()
    assert until(lambda: loaded == ["so"])
    time.sleep(5 * OFTEN)
    alone.end()
    many.end()
    assert loaded == ["so"]


def test_a_first_page_is_served_once_it_has_gone_out_whole() -> None:
    first = threading.Event()

    async def page(_scope: object, _receive: object, send: Send) -> None:
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b"so", "more_body": True})
        assert not first.is_set()
        await send({"type": "http.response.body", "body": b"me"})

    assert TestClient(Served(page, first)).get("/").text == "some"
    assert first.is_set()
