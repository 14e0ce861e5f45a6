"""The attacks work, each in a few rounds; docs/reliability.md says how they are carried out in earnest."""

from __future__ import annotations

import os
from datetime import date
from typing import TYPE_CHECKING, cast

import pytest

from attack import forms, full_disk, homes, kills, torn
from attack.rounds import Attack, run
from docs.reading import ROOT

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path
    from random import Random

    from attack.service import Client

Said = pytest.CaptureFixture[str]


def test_forms_and_json_are_spoilt_and_nothing_fails(capsys: Said) -> None:
    assert forms.main(["--rounds", "80"]) == 0, capsys.readouterr().out
    said = capsys.readouterr().out
    assert said.startswith("attack.forms seed 1: rounds 80, answered 2xx ")
    assert said.endswith(" faults 0\n")


def test_what_is_answered_before_a_kill_is_there(capsys: Said) -> None:
    assert kills.main(["--rounds", "2"]) == 0, capsys.readouterr().out
    assert "kills 2" in capsys.readouterr().out


def test_what_is_answered_before_a_tear_is_there(capsys: Said) -> None:
    assert torn.main(["--rounds", "4"]) == 0, capsys.readouterr().out
    assert "tears behind the last answer 2" in capsys.readouterr().out


def test_a_full_disk_loses_nothing_that_was_answered(capsys: Said) -> None:
    status = full_disk.main(["--rounds", "1"])
    said = capsys.readouterr().out
    if status == full_disk.NO_SMALL_DISK:
        pytest.skip(said.strip())
    assert status == 0, said


def test_nobody_is_told_of_another_home_or_writes_into_it(capsys: Said) -> None:
    assert homes.main(["--rounds", "400"]) == 0, capsys.readouterr().out
    assert ", faults 0" in capsys.readouterr().out


def test_a_word_that_somebody_is_not_to_see_is_found(capsys: Said, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(homes.Asker, "may_see", lambda *_: False)
    assert homes.main(["--rounds", "100"]) == 1
    assert "FAULT q" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("find", "status", "words"),
    [
        (lambda _: None, 0, "attack.nothing seed 5: rounds 3, , 0 s, faults 0"),
        (lambda attack: attack.tally.fault("a loss"), 1, "FAULT a loss"),
        (lambda attack: attack.tally.expect(attack.rounds == 4, "no four"), 1, "FAULT no four"),
    ],
)
def test_an_attack_that_finds_a_fault_says_so_and_ends_with_1(
    find: Callable[[Attack], None], status: int, words: str, capsys: Said
) -> None:
    assert run("nothing", 9, find, ["--seed", "5", "--rounds", "3"]) == status
    assert words in capsys.readouterr().out


def test_a_lost_write_is_noticed_on_a_full_disk() -> None:
    class Forgetful:
        def json(self, *_: object) -> tuple[int, object]:
            return 200, {"dinner": {"dish": "Soup 6"}}

    written = full_disk.Written({date(2027, 1, 4): "Soup 7"})
    assert full_disk.missing_dinners(cast("Client", Forgetful()), written) == ["2027-01-04 Soup 7"]


def test_a_lost_write_is_noticed_behind_a_tear(monkeypatch: pytest.MonkeyPatch, capsys: Said) -> None:
    def cut_in_half(log: Path, _lowest: int, _random: Random) -> str:
        os.truncate(log, log.stat().st_size // 2)
        return "cut in half"

    monkeypatch.setattr(torn, "_tear", cut_in_half)
    assert torn.main(["--rounds", "2"]) == 1
    assert "FAULT round 0: cut in half: " in capsys.readouterr().out


def test_every_failure_counts_but_a_refusal_for_being_busy() -> None:
    assert not forms.fails(503, b"another program kept the database busy for too long")
    assert forms.fails(503, b"the disk that holds the database is full")
    assert forms.fails(500, b"busy")
    assert not forms.fails(422, b"")


@pytest.mark.parametrize(
    ("kind", "content", "why"),
    [
        ("text/html; charset=utf-8", b"<p>A</p>", ""),
        ("text/html", b"<p><b>A</p>", "</p> closes <b>"),
        ("text/html", b"caf\xe9", "can't decode byte 0xe9"),
        ("application/problem+json", b'{"a": 1', "delimiter"),
        ("text/csv", b"caf\xe9", ""),
    ],
)
def test_an_answer_that_is_not_what_it_says_is_noticed(kind: str, content: bytes, why: str) -> None:
    found = forms.unreadable(kind, content)
    assert bool(found) == bool(why)
    assert why in found


@pytest.mark.parametrize("name", ["forms", "kills", "torn", "full_disk"])
def test_the_page_on_reliability_says_how_an_attack_is_repeated(name: str) -> None:
    told = (ROOT / "docs/reliability.md").read_text(encoding="utf-8")
    assert f"PYTHONPATH=tests .venv/bin/python -m attack.{name}" in told
