"""`/rescue` opens whatever is wrong, gives the log as it is kept, and brings a backup back."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import event

from coach.web import headers
from coach.web.headers import HEADERS
from web.asking import client_of
from web.broken import change
from web.house import ADDRESS
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from httpx2 import Response
    from starlette.testclient import TestClient

    from web.house import House


@pytest.fixture
def lenient(house: House) -> House:
    """A house whose failures come as answers."""
    house.http = client_of(house.app, base_url=ADDRESS, raise_server_exceptions=False)
    house.live(2)
    return house


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "home.db"


def damage(file: Path) -> None:
    """Garble every page of a database but the first."""
    for beside in (file.with_name(f"{file.name}-wal"), file.with_name(f"{file.name}-shm")):
        beside.unlink(missing_ok=True)
    content = file.read_bytes()
    file.write_bytes(content[:4096] + bytes(len(content) - 4096))


def bring_back(http: TestClient, copy: bytes) -> Response:
    """Choose a backup, look at it, and press the button."""
    taken = http.post("/rescue/restore", files={"saved": ("backup.db", copy)})
    assert taken.status_code == 303, taken.text
    address = taken.headers["location"]
    shown = read(http.get(address).text)
    form = shown.one("form", action=address)
    assert form.one("button").text == "Restore this backup"
    return http.post(address)


def test_it_says_that_nothing_is_wrong_and_gives_what_export_gives(lenient: House) -> None:
    page = lenient.http.get("/rescue")
    assert page.status_code == 200
    assert "Nothing that Steading can tell." in page.text
    log = lenient.http.get("/rescue/log.csv")
    assert log.headers["content-disposition"] == 'attachment; filename="steading-log.csv"'
    assert log.content == lenient.http.get("/api/log.csv").content


def test_it_opens_before_the_start(empty: House) -> None:
    assert empty.http.get("/rescue").status_code == 200
    assert empty.http.get("/rescue/log.csv").text == "date,what,step,value\r\n"


def test_it_brings_a_backup_back_and_a_second_tap_is_answered_like_the_first(lenient: House) -> None:
    copy = lenient.http.get("/data/backup").content
    before = lenient.http.get("/api/log.csv").content
    lenient.live(2)
    done = bring_back(lenient.http, copy)
    assert done.headers["location"] == "/rescue?said=restored-database"
    assert "The backup is back in place" in lenient.http.get(done.headers["location"]).text
    assert lenient.http.get("/api/log.csv").content == before
    assert "Not what you wanted" in lenient.http.get("/data?said=restored-database").text


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE household SET day_starts = 'zz'",
        "UPDATE household SET version = 'abc'",
        "UPDATE household SET week_starts = 'someday'",
        "UPDATE course_version SET since = 'one day'",
    ],
)
def test_a_household_whose_row_cannot_be_read_is_told_so_and_gets_its_log(
    lenient: House, file: Path, statement: str
) -> None:
    log = lenient.http.get("/api/log.csv").content
    copy = lenient.http.get("/data/backup").content
    change(file, statement)
    answer = lenient.http.get("/today")
    assert answer.status_code == 503
    assert '<a href="/rescue">' in answer.text
    page = lenient.http.get("/rescue")
    assert page.status_code == 200
    assert lenient.http.get("/rescue/log.csv").content == log
    assert bring_back(lenient.http, copy).status_code == 303
    assert lenient.http.get("/today").status_code == 200
    assert lenient.http.get("/api/log.csv").content == log


def test_a_row_that_is_no_text_is_given_as_far_as_it_is_one(lenient: House, file: Path) -> None:
    change(file, "UPDATE log SET value = CAST(x'ff41' AS TEXT), date = 5 WHERE seq = 2")
    log = lenient.http.get("/rescue/log.csv").text
    assert "5,day-starts,,\ufffdA" in log
    assert "is not a date" in lenient.http.get("/rescue").text


def test_a_damaged_database_keeps_the_way_back_open(lenient: House, file: Path) -> None:
    copy = lenient.http.get("/data/backup").content
    log = lenient.http.get("/api/log.csv").content
    lenient.app.state.context.store.close()
    damage(file)
    assert lenient.http.get("/today").status_code == 503
    health = lenient.http.get("/healthz")
    assert health.status_code == 503
    assert health.json()["status"] == "failing"
    assert health.json()["findings"][0]["kind"] == "database"
    page = lenient.http.get("/rescue")
    assert page.status_code == 200
    assert "is damaged" in page.text
    assert lenient.http.get("/rescue/log.csv").status_code == 503
    assert "is damaged" in lenient.http.get("/rescue/log.csv").text
    assert bring_back(lenient.http, copy).status_code == 303
    assert lenient.http.get("/api/log.csv").content == log


def test_what_is_no_backup_is_refused_on_the_page_itself(lenient: House) -> None:
    before = lenient.http.get("/api/log.csv").content
    answer = lenient.http.post("/rescue/restore", files={"saved": ("cat.jpg", b"no database")})
    assert answer.status_code == 422
    assert "The backup cat.jpg is not a Steading database" in read(answer.text).one("div", "trouble").text
    assert lenient.http.post("/rescue/restore").status_code == 422
    assert lenient.http.get("/rescue/restore/nowhere").status_code == 404
    assert lenient.http.get("/api/log.csv").content == before


def test_a_look_that_fails_is_said_and_the_rest_is_there(
    lenient: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise KeyError("a fault of our own")

    monkeypatch.setattr("coach.household.rescue.findings", fail)
    page = lenient.http.get("/rescue")
    assert page.status_code == 200
    assert "What is wrong cannot be told" in page.text
    assert "/rescue/log.csv" in page.text


def test_it_needs_no_lessons_and_no_bar(lenient: House, monkeypatch: pytest.MonkeyPatch) -> None:
    def gone(*_: object) -> None:
        raise RuntimeError("gone")

    for name in ("course", "catalogue", "groups", "texts", "digest", "cautions", "rooms"):
        monkeypatch.setattr(lenient.app.state.context.library, name, gone)
    monkeypatch.setattr("coach.web.rendering.bar", gone)
    assert lenient.http.get("/rescue").status_code == 200
    assert lenient.http.get("/rescue/log.csv").status_code == 200


def test_a_page_that_fails_and_the_page_data_lead_to_it(
    lenient: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise KeyError("a fault of our own")

    assert '<a href="/rescue">' in lenient.http.get("/data").text
    monkeypatch.setattr("coach.web.pages.habits.away.show", fail)
    answer = lenient.http.get("/away")
    assert answer.status_code == 500
    assert '<a href="/rescue">' in answer.text


def test_the_bar_keeps_no_answer_from_being_given(lenient: House, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise KeyError("a fault of our own")

    monkeypatch.setattr("coach.web.navigation.places", fail)
    assert lenient.http.get("/data").status_code == 200
    assert lenient.http.get("/nowhere").status_code == 404


# Headers


def answers(house: House, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[int, Response]]:
    def fail(*_: object) -> None:
        raise KeyError("a fault of our own")

    http = house.http
    yield 400, http.get("/today", headers={"host": "elsewhere.example"})
    yield 404, http.get("/nowhere")
    yield 404, http.get("/static/nowhere.css")
    yield 405, http.delete("/today")
    yield 413, http.post("/settings", content=b"x" * 70_000)
    yield 403, http.post("/settings", headers={"origin": "https://elsewhere.example"})
    yield 422, http.put("/api/days/someday/marks/bed-made", json={})
    monkeypatch.setattr("coach.web.pages.habits.away.show", fail)
    monkeypatch.setattr("coach.household.data.export", fail)
    yield 500, http.get("/away")
    yield 500, http.get("/api/log.csv")
    yield 500, http.head("/away")


def test_every_answer_carries_the_guards_headers(lenient: House, monkeypatch: pytest.MonkeyPatch) -> None:
    for status, answer in answers(lenient, monkeypatch):
        assert answer.status_code == status, answer.text
        assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS, status
        assert answer.headers.get_list("content-security-policy") == [headers.POLICY]
        assert answer.headers["cache-control"] in {"no-store", "no-cache"}


# What it costs


def test_a_healthy_answer_costs_one_statement(lenient: House) -> None:
    lenient.http.get("/today")
    statements: list[str] = []
    engine = lenient.app.state.context.store.engine
    event.listen(engine, "before_cursor_execute", lambda *call: statements.append(str(call[2])))
    assert lenient.http.get("/healthz").json() == {"status": "ok", "findings": []}
    assert len([one for one in statements if one.startswith("SELECT")]) == 1


def test_what_a_page_found_is_gone_from_healthz_after_the_next_change(lenient: House, file: Path) -> None:
    change(file, "INSERT INTO plan_value VALUES ('home', 'due', 'a', '{', 1)")
    lenient.http.get("/desk")
    assert lenient.http.get("/healthz").json()["status"] == "degraded"
    with closing(sqlite3.connect(file)) as connection, connection:
        connection.execute("DELETE FROM plan_value WHERE value = '{'")
    lenient.mark("bed-made")
    assert lenient.http.get("/healthz").json()["status"] == "ok"
