"""A few PDFs are made or wait at once; the next one is told to come again, and pages are answered."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Event, Semaphore
from typing import TYPE_CHECKING

from coach.limits import PRINTS
from coach.press import cards
from coach.press.printed import Printed

if TYPE_CHECKING:
    import pytest

    from web.house import House

LONG = 30
"""Seconds after which a test would rather fail than wait."""


def test_one_pdf_too_many_is_told_to_come_again_and_keeps_no_page_waiting(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, may_end = Semaphore(0), Event()

    def slow(_: object) -> Printed:
        begun.release()
        assert may_end.wait(LONG)
        return Printed(b"%PDF-", 1)

    monkeypatch.setattr(cards, "cards", slow)
    with ThreadPoolExecutor(PRINTS) as askers:
        asked = [askers.submit(house.http.get, "/cards?format=pdf") for _ in range(PRINTS)]
        try:
            assert all(begun.acquire(timeout=LONG) for _ in asked)
            more = house.http.get("/cards?format=pdf")
            page = house.http.get("/cards")
        finally:
            may_end.set()
    assert (more.status_code, more.headers["retry-after"]) == (503, "5")
    assert "print it from the browser" in more.text
    assert page.status_code == 200
    assert [one.result().status_code for one in asked] == [200] * PRINTS
    assert house.http.get("/cards?format=pdf").status_code == 200
