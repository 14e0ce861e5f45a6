"""What takes the place of everything is shown first, done with one tap, and can be taken back."""

from __future__ import annotations

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from web.markup import read

if TYPE_CHECKING:
    from pathlib import Path

    from httpx2 import Response

    from web.house import House
    from web.markup import Element


def log_of(house: House) -> bytes:
    return bytes(house.http.get("/api/log.csv").content)


def upload(house: House, address: str, content: bytes) -> str:
    """Send a file, and give the address of what is shown."""
    field = "log" if address == "/data/import" else "saved"
    answer = house.http.post(address, files={field: ("kept file", content)})
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def look(house: House, address: str) -> Element:
    answer = house.http.get(address)
    assert answer.status_code == 200, answer.text
    return read(answer.text)


def tap(house: House, page: Element, action: str) -> Response:
    """Press the button of the form with this address, as a browser without JavaScript does."""
    form = page.one("form", action=action)
    return house.http.post(action, data={"seen": form.one("input", type="hidden").attributes["value"]})


def beside(page: Element) -> dict[str, list[str]]:
    """What the table says, by the name of its line."""
    rows = page.one("table", "beside").one("tbody").every("tr")
    return {row.one("th").text: [cell.text for cell in row.every("td")] for row in rows}


def test_a_log_is_shown_beside_what_is_here_and_changes_nothing_yet(house: House) -> None:
    house.live(2)
    early = log_of(house)
    house.live(2)
    before = log_of(house)
    page = look(house, upload(house, "/data/import", early))
    shown = beside(page)
    assert shown["Days with a mark"] == ["4", "2"]
    assert shown["Last row"] == ["7 January 2027", "5 January 2027"]
    lost = before.count(b"\n") - early.count(b"\n")
    assert f"{lost} rows , {lost} of them marks on 2 days from 6 January 2027 to 7 January 2027." in page.text
    assert "Nothing has changed yet." in page.text
    assert log_of(house) == before


def test_one_tap_brings_a_log_in_and_another_puts_back_what_was_there(house: House) -> None:
    house.live(2)
    early = log_of(house)
    house.live(2)
    late = log_of(house)
    address = upload(house, "/data/import", early)
    done = tap(house, look(house, address), address)
    assert done.headers["location"] == "/data?said=brought-in"
    assert log_of(house) == early
    after = look(house, done.headers["location"])
    back = next(form for form in after.every("form") if "/data/copies/" in form.attributes["action"])
    assert back.one("button").text == "Put back what was there before"
    undone = tap(house, after, back.attributes["action"])
    assert undone.headers["location"] == "/data?said=put-back"
    assert log_of(house) == late


def test_a_tap_after_something_was_marked_is_refused_with_the_new_comparison(house: House) -> None:
    house.live(2)
    early = log_of(house)
    house.live(1)
    address = upload(house, "/data/import", early)
    page = look(house, address)
    house.mark("bed-made", "small", ago=1)
    late = log_of(house)
    refused = tap(house, page, address)
    assert refused.status_code == 409
    assert "so nothing was replaced" in read(refused.text).one(id="trouble").text
    assert log_of(house) == late
    assert tap(house, read(refused.text), address).status_code == 303
    assert log_of(house) == early


def test_of_two_that_were_looked_at_the_second_tap_is_refused(house: House) -> None:
    first = log_of(house)
    house.live(1)
    second = log_of(house)
    house.live(1)
    one, other = upload(house, "/data/import", first), upload(house, "/data/import", second)
    pages = look(house, one), look(house, other)
    assert tap(house, pages[0], one).status_code == 303
    assert tap(house, pages[1], other).status_code == 409
    assert log_of(house) == first


def test_a_file_is_gone_once_it_was_brought_in_or_left(house: House) -> None:
    log = log_of(house)
    address = upload(house, "/data/import", log)
    assert tap(house, look(house, address), address).status_code == 303
    assert house.http.get(address).status_code == 404
    address = upload(house, "/data/import", log)
    assert house.http.post(f"{address}/leave").headers["location"] == "/data"
    assert "Choose it once more" in read(house.http.get(address).text).text


def test_a_file_cannot_be_brought_in_without_saying_what_was_seen(house: House) -> None:
    house.live(1)
    before = log_of(house)
    address = upload(house, "/data/import", before)
    assert house.http.post(address).status_code == 422
    assert house.http.post(address, data={"seen": "0"}).status_code == 409


def test_a_backup_is_shown_restored_and_taken_back(house: House) -> None:
    copy = house.http.get("/data/backup").content
    assert copy.startswith(b"SQLite format 3")
    early = log_of(house)
    house.live(4)
    assert house.http.post("/more/open", data={"name": "week"}).status_code == 303
    late, day = log_of(house), house.day()
    address = upload(house, "/data/restore", copy)
    assert beside(look(house, address))["Days with a mark"] == ["4", "0"]
    assert log_of(house) == late
    done = tap(house, look(house, address), address)
    assert done.headers["location"] == "/data?said=restored-database"
    assert log_of(house) == early
    after = look(house, done.headers["location"])
    back = next(form for form in after.every("form") if "/data/copies/" in form.attributes["action"])
    assert tap(house, after, back.attributes["action"]).status_code == 303
    assert (log_of(house), house.day()) == (late, day)


def test_a_restore_is_refused_after_something_was_marked(house: House) -> None:
    copy = house.http.get("/data/backup").content
    address = upload(house, "/data/restore", copy)
    page = look(house, address)
    house.live(1)
    late = log_of(house)
    assert tap(house, page, address).status_code == 409
    assert log_of(house) == late


def test_what_is_planned_is_compared_too(house: House) -> None:
    copy = house.http.get("/data/backup").content
    titles = ["Post the parcel", "Call the plumber"]
    assert house.http.post("/api/to-dos", json={"titles": titles}).status_code == 201
    page = look(house, upload(house, "/data/restore", copy))
    now, file = beside(page)["Entries of the plan"]
    assert int(now) > int(file)
    assert f"No row of the log, and {int(now) - int(file)} entries of the plan." in page.text


def test_the_same_log_would_change_nothing(house: House) -> None:
    page = look(house, upload(house, "/data/import", log_of(house)))
    assert "Nothing: what is here is the same already." in page.text


def test_the_last_five_copies_can_be_looked_at_and_any_put_back(house: House) -> None:
    logs = []
    for _ in range(6):
        house.live(1)
        logs.append(log_of(house))
        assert house.http.post("/api/log.csv", content=logs[0]).status_code == 200
    links = [link.attributes["href"] for link in look(house, "/data").every("a")]
    copies = [link for link in links if link.startswith("/data/copies/")]
    assert len(copies) == 5
    assert tap(house, look(house, copies[-1]), copies[-1]).status_code == 303
    assert log_of(house) == logs[1]
    assert house.http.get(copies[-1]).status_code == 404


def test_no_address_leads_out_of_the_folder_of_copies(house: House) -> None:
    for name in ("..%2Fhome.db", "home.db", "%2e%2e"):
        assert house.http.get(f"/data/copies/{name}").status_code in {303, 404}


def test_whoever_deletes_everything_deletes_the_copies(house: House) -> None:
    house.http.post("/api/log.csv", content=log_of(house))
    assert house.app.state.context.copies.kept()
    house.http.post("/data/forget", data={"confirmation": "delete"})
    assert house.app.state.context.copies.kept() == []


def test_the_start_offers_to_bring_a_log_back(empty: House) -> None:
    assert look(empty, "/start").one("a", href="/data").text == "Bring my data back"
    page = look(empty, "/data")
    assert page.one("form", action="/data/import").attributes["enctype"] == "multipart/form-data"
    log = b"date,what,step,value\n2027-01-02,start,bed-made,\n2027-01-02,kept,bed-made,\n"
    address = upload(empty, "/data/import", log)
    shown = look(empty, address)
    assert beside(shown)["Marks"] == ["0", "1"]
    assert empty.http.get("/start").status_code == 200
    assert tap(empty, shown, address).headers["location"] == "/today"
    assert empty.day()["day"] == 3


def test_the_start_offers_to_go_back_to_a_backup(empty: House) -> None:
    empty.start()
    empty.live(2)
    copy, log = empty.http.get("/data/backup").content, log_of(empty)
    empty.http.post("/data/forget", data={"confirmation": "delete"})
    assert list(look(empty, "/data").every("form", action="/data/restore"))
    address = upload(empty, "/data/restore", copy)
    assert tap(empty, look(empty, address), address).headers["location"] == "/today"
    assert log_of(empty) == log


def test_a_fault_before_the_start_is_shown_with_the_way_on(empty: House) -> None:
    answer = empty.http.post("/data/import", files={"log": ("log.csv", b"date;what\n")})
    assert answer.status_code == 422
    page = read(answer.text)
    assert "The first line has to be" in page.one("table").text
    assert [link.text for link in page.every("a", href="/start")] == ["Begin without a file"]


def test_a_backup_can_be_uploaded_once_only_though_it_is_large(house: House) -> None:
    """What is tapped carries no file: the form of the comparison holds a number alone."""
    address = upload(house, "/data/import", log_of(house))
    form = look(house, address).one("form", action=address)
    assert [field.attributes["name"] for field in form.every("input")] == ["seen"]
    assert "enctype" not in form.attributes


def test_without_a_file_the_log_that_was_there_is_kept_in_the_database(house: House) -> None:
    house.app.state.context = replace(house.app.state.context, copies=None)
    house.live(2)
    early = log_of(house)
    house.live(2)
    late = log_of(house)
    address = upload(house, "/data/import", early)
    after = look(house, tap(house, look(house, address), address).headers["location"])
    assert log_of(house) == early
    assert tap(house, after, "/data/copies/log").headers["location"] == "/data?said=put-back"
    assert log_of(house) == late


@pytest.mark.parametrize("kind", ["log", "backup"])
def test_taps_all_at_once_are_answered_like_the_first_and_done_once(house: House, kind: str) -> None:
    early = house.http.get("/api/log.csv" if kind == "log" else "/data/backup").content
    house.live(2)
    address = upload(house, "/data/import" if kind == "log" else "/data/restore", early)
    page = look(house, address)
    with ThreadPoolExecutor(6) as pool:
        answers = list(pool.map(lambda _: tap(house, page, address), range(6)))
    assert {(answer.status_code, answer.headers["location"]) for answer in answers} == {
        (303, "/data?said=brought-in" if kind == "log" else "/data?said=restored-database")
    }
    assert house.http.get("/data").text.count("/data/copies/") == 1


def test_what_waits_is_let_go_of_with_everything_else(house: House) -> None:
    house.live(1)
    address = upload(house, "/data/import", log_of(house))
    house.http.post("/data/forget", data={"confirmation": "delete"})
    assert house.http.get(address).status_code == 404


@pytest.mark.parametrize(
    "change",
    ["UPDATE household SET zone = 'Nowhere/At-All'", "UPDATE household SET course = 'no-such-course'"],
)
def test_a_backup_for_which_something_stands_in_comes_back(house: House, tmp_path: Path, change: str) -> None:
    house.live(2)
    copy = tmp_path / "copy.db"
    copy.write_bytes(house.http.get("/data/backup").content)
    with closing(sqlite3.connect(copy)) as connection, connection:
        connection.execute(change)
    address = upload(house, "/data/restore", copy.read_bytes())
    assert tap(house, look(house, address), address).status_code == 303
    assert look(house, "/today").one("aside", "findings").text


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE household SET day_starts = 'zz'",
        "UPDATE household SET version = 'abc'",
        "DELETE FROM log",
        "DROP TABLE plan_value",
    ],
)
def test_a_backup_that_could_not_be_used_is_refused_before_anything_changes(
    house: House, tmp_path: Path, change: str
) -> None:
    house.live(2)
    before, copy = log_of(house), tmp_path / "copy.db"
    copy.write_bytes(house.http.get("/data/backup").content)
    with closing(sqlite3.connect(copy)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("DROP TRIGGER IF EXISTS log_is_append_only")
        connection.execute(change)
        connection.commit()
    answer = house.http.post("/data/restore", files={"saved": ("copy.db", copy.read_bytes())})
    assert answer.status_code == 422, answer.text
    assert read(answer.text).one(id="trouble").text
    assert log_of(house) == before
