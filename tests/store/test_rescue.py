"""What stands in stands in over every database, and `/rescue` says what each has for a backup."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from sqlalchemy import text

from store.postgres_server import seeing_all
from web.broken import Home, own_lessons

if TYPE_CHECKING:
    from pathlib import Path

DAMAGE = (
    "UPDATE household SET zone = 'Mars/X'",
    "UPDATE standing SET state = '{'",
    "UPDATE plan_state SET state = '[]'",
    "UPDATE plan_value SET value = '{' WHERE what <> 'opened'",
    (
        "INSERT INTO log (household_id, seq, date, what, step, value, logged_at) "
        "SELECT household_id, seq + 1, date, 'frobnicate', 'bed-made', 'back\\slash', logged_at FROM log "
        "ORDER BY seq DESC LIMIT 1"
    ),
)


@pytest.fixture
def furnished(laid_out_url: str, tmp_path: Path) -> str:
    """The URL of a household with its whole plan."""
    home = Home(laid_out_url, own_lessons(tmp_path))
    home.furnish()
    home.close()
    return laid_out_url


def test_everything_broken_at_once_fails_nowhere_and_is_said(furnished: str) -> None:
    home = Home(furnished, None)
    log = home.get("/api/log.csv").text
    with seeing_all(home.context.store.engine).begin() as connection:
        for statement in DAMAGE:
            connection.execute(text(statement))
    # A whole home is only given whole; the log as far as it can be read is what the rescue has.
    assert home.walk() == {"/api/home": 503}
    kinds = {one["kind"] for one in home.get("/healthz").json()["findings"]}
    assert kinds == {"course", "zone", "plan", "log"}
    kept = home.get("/rescue/log.csv").text
    assert kept.startswith(log)
    assert kept.endswith(",frobnicate,bed-made,back\\slash\r\n")
    page = home.get("/rescue").text
    assert "frobnicate" in page
    has_file = furnished.startswith("sqlite")
    assert ('action="/rescue/restore"' in page) is has_file
    assert ("pg_dump" in page) is not has_file
    home.close()


def test_a_row_of_the_household_that_makes_no_sense_leaves_the_log_and_the_rescue(furnished: str) -> None:
    home = Home(furnished, None)
    log = home.get("/api/log.csv").text
    with seeing_all(home.context.store.engine).begin() as connection:
        connection.execute(text("UPDATE household SET week_starts = 'someday'"))
    assert home.get("/today").status_code == 503
    assert home.get("/healthz").json()["status"] == "failing"
    assert "cannot be read" in home.get("/rescue").text
    assert home.get("/rescue/log.csv").text == log
    home.close()
