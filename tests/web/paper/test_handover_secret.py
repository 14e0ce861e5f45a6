"""What stands on the pages of a handover is sent nowhere, fed to nobody and kept by no browser."""

from __future__ import annotations

import ast
import logging
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import coach
from coach.paper import pages
from coach.paper.pages import TypedPage
from habits.house import HOME
from messages.post import lived, with_reminder
from web.kitchen.full_week import ask

if TYPE_CHECKING:
    from collections.abc import Iterator

    from web.house import House

TELLING = "hollyhock"
"""A word that stands on a page of the handover and nowhere else."""

ROOT = Path(coach.__file__).parent
NEVER = ("calendar", "messages", "around", "habits", "week", "areas", "kitchen", "desk")
"""Rooms whose answers are fed, sent or kept for a day without network."""

KEPT_BY_BROWSERS = ("/sw.js", "/today/offline", "/today", "/api/today", "/manifest.webmanifest")
HELD = ("jobs", "areas", "dinner", "dues", "routines")
SENT_OUT = ("/api/log.csv", "/shopping.txt")


@pytest.fixture
def telling(house: House) -> House:
    """A house with a page that holds the word in its title and its text."""
    page = {"title": f"The {TELLING}", "markdown": f"Under the {TELLING}.", "whom": ["sitter"]}
    ask(house, "POST", "/api/handover/pages", page)
    return house


def _words_of(file: Path) -> Iterator[str]:
    """The names and texts of a module that could reach a handover."""
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.ImportFrom):
            yield node.module or ""
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


@pytest.mark.parametrize("room", NEVER)
def test_no_room_that_is_fed_or_sent_reads_the_pages(room: str) -> None:
    for file in (ROOT / room).rglob("*.py"):
        reached = {word for word in _words_of(file) if word in {"handover", "handover-order"}}
        assert not reached, file
        assert not any(word.startswith("coach.paper.pages") for word in _words_of(file)), file


@pytest.mark.parametrize("address", [*KEPT_BY_BROWSERS, *SENT_OUT])
def test_what_browsers_keep_and_others_get_does_not_hold_it(telling: House, address: str) -> None:
    answer = telling.http.get(address)
    assert answer.status_code == 200
    assert TELLING not in answer.text


def test_no_calendar_is_fed_with_it(telling: House) -> None:
    found = ask(telling, "POST", "/api/feeds", {"name": "Kitchen", "holds": list(HELD)})
    fed = telling.http.get(found["path"])
    assert "BEGIN:VEVENT" in fed.text
    assert TELLING not in fed.text


def test_no_message_says_it() -> None:
    house, post = with_reminder()
    pages.add(house.context, HOME, TypedPage(f"The {TELLING}", f"Under the {TELLING}.", ("sitter",)))
    assert lived(house, post, 1, 12)
    for _, letter in post.carried:
        assert TELLING not in repr(letter)


@pytest.mark.parametrize("query", ["", "?whom=sitter", "?q=hollyhock", "?whom=sitter&format=pdf"])
def test_no_answer_that_holds_it_may_be_kept(telling: House, query: str) -> None:
    assert telling.http.get(f"/handover{query}").headers["cache-control"] == "no-store"


def test_neither_may_a_page_alone_nor_its_json(telling: House) -> None:
    [page] = ask(telling, "GET", "/api/handover/pages")["pages"]
    places = ("", "/edit", "/delete")
    addresses = [f"/handover/pages/{page['page']}{place}" for place in places]
    for address in [*addresses, "/api/handover/pages", f"/api/handover/pages/{page['page']}"]:
        answer = telling.http.get(address)
        assert (TELLING in answer.text, answer.headers["cache-control"]) == (True, "no-store")


def test_the_worker_of_the_browser_keeps_no_page_of_it() -> None:
    assert "handover" not in (ROOT / "web" / "static" / "worker.js").read_text()


def test_no_log_holds_it(telling: House, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    [page] = ask(telling, "GET", "/api/handover/pages")["pages"]
    telling.http.get("/handover?whom=sitter")
    telling.http.post("/api/handover/pages", json=page | {"markdown": "> " * 99 + TELLING})
    telling.http.put(f"/api/handover/pages/{page['page']}", json={"title": TELLING})
    assert TELLING not in caplog.text
