"""`coach invite` and `coach people`."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from commands.running import coach
from web.many import ManyHouse

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def many(tmp_path: Path) -> Iterator[ManyHouse]:
    house = ManyHouse(tmp_path)
    yield house
    house.close()


def run(many: ManyHouse, *arguments: str) -> tuple[int, str, str]:
    ended = coach(*arguments, "--database", f"sqlite:///{many.file}")
    return ended.returncode, ended.stdout, ended.stderr


def test_an_invited_coach_is_let_in_by_the_printed_link(many: ManyHouse) -> None:
    status, said, _ = run(many, "invite", "--coach", "Cora", "--public-url", "https://steading.example")
    link = said.splitlines()[0]
    assert (status, link.startswith("https://steading.example/pair#")) == (0, True)
    # The command's clock is the machine's.
    many.now = datetime.now(UTC)
    sent = {"code": link.partition("#")[2], "name": "Cora"}
    assert many.browser().post("/api/pair", json=sent).status_code == 201


def test_an_invited_household_enrols_by_the_printed_link(many: ManyHouse) -> None:
    _, said, _ = run(many, "invite", "--household", "Rill Lane", "--public-url", "https://steading.example")
    link = said.splitlines()[0]
    assert link.startswith("https://steading.example/enrol#")
    sent = {"code": link, "name": "Nia", "zone": "UTC"}
    many.now = datetime.now(UTC)
    assert many.browser().post("/api/enrol", json=sent).status_code == 201


def test_a_link_needs_an_address_and_a_name(many: ManyHouse, monkeypatch: pytest.MonkeyPatch) -> None:
    status, _, complaint = run(many, "invite", "--coach", "Cora")
    assert (status, "COACH_PUBLIC_URL" in complaint) == (2, True)
    monkeypatch.setenv("COACH_PUBLIC_URL", "https://steading.example")
    status, _, complaint = run(many, "invite", "--coach", "  ")
    assert (status, "Say what the coach is called." in complaint) == (2, True)
    assert run(many, "invite")[0] == 2


def test_everybody_is_listed_with_what_is_theirs(many: ManyHouse) -> None:
    many.household("Ana", "first", name="Rill Lane")
    many.person("Cora", coaches=True)
    many.group("cora", "g")
    many.signed_in("cora")
    _, said, _ = run(many, "people")
    assert "Ana (ana): 1 device, last seen 2027-01-04 12:00 UTC" in said
    assert "    keeper of Rill Lane (first)" in said
    assert "    coach of Group g" in said
    _, said, _ = run(many, "people", "--json")
    ana, cora = json.loads(said)["people"]
    assert (ana["homes"][0]["name"], ana["coaches"]) == ("Rill Lane", False)
    assert (cora["groups"], cora["devices"][0]["as_coach"]) == (["Group g"], True)


def test_all_that_is_let_in_for_somebody_ends_at_once(many: ManyHouse) -> None:
    ana = many.household("Ana", "first")
    assert ana.get("/api/today").status_code == 200
    status, said, _ = run(many, "people", "--end", "ana")
    assert (status, said) == (0, "1 device or token was ended.\n")
    assert ana.get("/api/today").status_code == 401
    status, _, complaint = run(many, "people", "--end", "nobody")
    assert (status, "nobody of that key" in complaint) == (2, True)
