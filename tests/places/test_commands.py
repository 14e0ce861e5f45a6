"""`coach move` and `coach places`, as whoever runs the service types them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from commands.running import coach
from places.homes import live, rows_at
from store.tern_street import add, kept

if TYPE_CHECKING:
    from coach.store.spread import SpreadStore
    from places.servers import Servers

pytestmark = pytest.mark.postgres


@pytest.fixture
def named(servers: Servers, monkeypatch: pytest.MonkeyPatch) -> None:
    """The databases as the environment names them."""
    others = {name: servers.url(name) for name in ("second", "third")}
    monkeypatch.setenv("COACH_DATABASE", servers.url("first"))
    monkeypatch.setenv("COACH_DATABASES", json.dumps(others))


@pytest.mark.usefixtures("named")
def test_a_household_is_moved_and_told_of(servers: Servers, spread: SpreadStore) -> None:
    live(servers, "second", "told")
    ended = coach("move", "told", "--to", "third")
    assert (ended.returncode, ended.stderr) == (0, "")
    assert ended.stdout == "told lives in third now, with 7 rows from second.\n"
    assert list(rows_at(spread, "told")) == ["third"]
    assert add(spread, kept(2), household_id="told")
    assert coach("move", "told", "--to", "third").stdout == "told lives in third.\n"


@pytest.mark.usefixtures("named")
def test_what_cannot_be_moved_is_told() -> None:
    ended = coach("move", "nobody", "--to", "third")
    assert ended.returncode != 0
    assert "no household “nobody”" in ended.stderr
    assert "There are first, second, third" in coach("move", "nobody", "--to", "fourth").stderr


@pytest.mark.usefixtures("named")
def test_databases_are_listed_with_what_is_wrong_with_them(servers: Servers) -> None:
    live(servers, "second", "listed")
    found = json.loads(coach("places", "--json").stdout)["places"]
    assert [one["name"] for one in found] == ["first", "second", "third"]
    assert found[1]["households"] >= 1
    servers.by_name["third"].kill()
    try:
        ended = coach("places")
        assert ended.returncode == 1
        assert "cannot be reached" in ended.stdout.splitlines()[2]
    finally:
        servers.by_name["third"].begin()


@pytest.mark.usefixtures("named")
def test_the_statements_of_a_coordinator_are_printed_and_name_every_database() -> None:
    said = coach("places", "--coordinator").stdout
    for name in ("first", "second", "third"):
        assert f"CREATE SERVER {name} FOREIGN DATA WRAPPER postgres_fdw" in said
    assert "log" not in said.partition("LIMIT TO")[2].partition(")")[0]


def test_one_database_alone_is_none_to_move_to(servers: Servers, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COACH_DATABASE", servers.url("first"))
    assert "Name others in COACH_DATABASES" in coach("move", "x", "--to", "second").stderr


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("{", "COACH_DATABASES has to be a JSON object"),
        ('{"first": "postgresql://u:secret@h/d"}', "“first” is taken"),
        ('{"Two Words": "postgresql://u:secret@h/d"}', "The setting databases cannot be so"),
    ],
)
def test_names_that_cannot_be_used_are_told_without_a_password(
    monkeypatch: pytest.MonkeyPatch, value: str, said: str
) -> None:
    monkeypatch.setenv("COACH_DATABASES", value)
    ended = coach("places")
    assert ended.returncode == 2
    assert said in ended.stderr
    assert "secret" not in ended.stderr
