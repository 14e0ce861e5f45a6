"""Copies as the pages show them, files that are refused by their own name, and a database that goes away."""

from __future__ import annotations

import sqlite3
import tempfile
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from store.broken import change, garble, in_utf_16
from web.house import ADDRESS, House
from web.markup import read

if TYPE_CHECKING:
    from pathlib import Path

    from coach.store.copies import FileCopies


def copies_of(house: House) -> FileCopies:
    copies: FileCopies = house.app.state.context.copies
    return copies


def a_backup(house: House, file: Path) -> Path:
    """A downloaded backup."""
    file.write_bytes(house.http.get("/data/backup").content)
    return file


@pytest.mark.parametrize(
    ("statements", "said"),
    [
        (["CREATE TRIGGER busy AFTER INSERT ON log BEGIN DELETE FROM log; END"], "the trigger “busy”"),
        (["DROP TABLE alembic_version"], "does not say which version of Steading wrote it"),
        (["UPDATE household SET version = 'x'"], "cannot have written: row 1 of the table “household”"),
        (["PRAGMA application_id = 7"], "is not a Steading database"),
        (["UPDATE alembic_version SET version_num = '9999'"], "was written by a newer Steading"),
        (["DELETE FROM log"], "cannot be used here, so nothing was changed. Its log is empty"),
    ],
)
def test_a_file_that_cannot_be_used_is_refused_by_its_own_name(
    house: House, tmp_path: Path, statements: list[str], said: str
) -> None:
    copy = a_backup(house, tmp_path / "copy.db")
    change(copy, statements)
    refuse(house, copy.read_bytes(), said)


def refuse(house: House, content: bytes, said: str) -> None:
    answer = house.http.post("/data/restore", files={"saved": ("my <stick>.db", content)})
    told = read(answer.text).one(id="trouble").text
    assert (answer.status_code, told.startswith("The backup my <stick>.db ")) == (422, True), told
    assert said in told
    assert ".part" not in told
    assert tempfile.gettempdir() not in told


def test_a_file_that_is_empty_or_none_or_in_another_encoding_is_refused(house: House, tmp_path: Path) -> None:
    in_utf_16(a_backup(house, tmp_path / "copy.db"), tmp_path / "other.db")
    refuse(house, (tmp_path / "other.db").read_bytes(), "holds its text as UTF-16le")
    refuse(house, b"", "is empty")
    refuse(house, b"Dear neighbours" * 500, "is not a Steading database")
    refuse(house, (tmp_path / "copy.db").read_bytes()[:9000], "is damaged")


def test_the_page_shows_each_copy_with_date_size_and_result(house: House) -> None:
    made = copies_of(house).dated()
    copies_of(house).keep("import")
    page = read(house.http.get("/data").text)
    shown = [item.text for item in page.one("ul", "copies").every("li")]
    assert len(shown) == 2
    assert "Made before a log came in" in shown[0]
    assert "Asked for" in shown[1]
    assert made.size is not None
    assert all("kB. Whole. Checked on" in one for one in shown)
    assert len(list(page.one("ul", "copies").every("a"))) == 2


def test_a_copy_that_is_damaged_is_shown_and_cannot_be_chosen(house: House) -> None:
    garble(copies_of(house).file(copies_of(house).dated().name))
    [shown] = read(house.http.get("/data").text).one("ul", "copies").every("li")
    assert "It cannot be put back : it is damaged" in shown.text
    assert list(shown.every("a")) == []


def test_a_copy_that_was_asked_for_is_put_back_too(house: House) -> None:
    made = copies_of(house).dated()
    house.live(1)
    page = read(house.http.get(f"/data/copies/{made.name}").text)
    seen = page.one("input", type="hidden").attributes["value"]
    done = house.http.post(f"/data/copies/{made.name}", data={"seen": seen})
    assert done.status_code == 303
    after = read(house.http.get(done.headers["location"]).text)
    undo = [
        form.attributes["action"] for form in after.every("form") if "/copies/" in form.attributes["action"]
    ]
    assert [address.endswith("-before-restore.db") for address in undo] == [True]


def test_a_backup_of_a_damaged_database_is_refused(house: House, tmp_path: Path) -> None:
    house.app.state.context.store.close()
    garble(tmp_path / "home.db", "plan_state")
    answer = house.http.get("/data/backup")
    assert answer.status_code == 503
    assert "home.db is damaged" in answer.text
    assert "/rescue" in answer.text


@pytest.fixture
def strict(house: House) -> TestClient:
    """The same house, where a fault of our own is an answer."""
    return TestClient(house.app, base_url=ADDRESS, follow_redirects=False, raise_server_exceptions=False)


def test_a_database_that_goes_away_takes_no_mark_and_says_so_everywhere(
    house: House, strict: TestClient, tmp_path: Path
) -> None:
    house.mark("bed-made")
    strict.get("/path")
    (tmp_path / "home.db").rename(tmp_path / "elsewhere")
    refused = strict.put(f"/api/days/{house.today}/marks/bed-made", json={"mark": "missed"})
    assert (refused.status_code, "is not in its place" in refused.json()["detail"]) == (503, True)
    assert strict.get("/healthz").status_code == 503
    assert "is not in its place" in strict.get("/healthz").json()["findings"][0]["text"]
    for address in ("/today", "/path", "/settings", "/data"):
        page = read(strict.get(address).text)
        assert "is not in its place" in page.one("div", "trouble", role="alert").text, address
    (tmp_path / "elsewhere").rename(tmp_path / "home.db")
    assert strict.get("/healthz").json() == {"status": "ok", "findings": []}
    assert "is not in its place" not in strict.get("/path").text
    assert house.mark("bed-made", "missed")["checklist"][0]["mark"] == "missed"


def test_what_was_written_is_saved_out_of_the_file_that_is_held_open(house: House, tmp_path: Path) -> None:
    house.live(3)
    log = house.http.get("/api/log.csv").content
    (tmp_path / "home.db").unlink()
    copy = a_backup(house, tmp_path / "saved.db")
    answer = house.http.post("/data/restore", files={"saved": ("saved.db", copy.read_bytes())})
    seen = house.app.state.context.store.version("home").version
    assert house.http.post(answer.headers["location"], data={"seen": str(seen)}).status_code == 303
    assert house.http.get("/healthz").status_code == 200
    assert house.http.get("/api/log.csv").content == log
    house.live(1)


def test_as_the_service_ends_it_keeps_what_it_holds_open(tmp_path: Path) -> None:
    with closing(House(tmp_path)) as house, house.http:
        house.start()
        house.live(2)
        (tmp_path / "home.db").unlink()
    [copy] = (tmp_path / "home.db.copies").glob("*-before-end.db")
    with closing(sqlite3.connect(copy)) as connection:
        assert connection.execute("SELECT count(*) FROM log WHERE what = 'kept'").fetchone() == (2,)
