"""`coach pace --compare`: one rule beside another."""

from __future__ import annotations

import json

import pytest

from coach.cli import main
from coach.coaching.library import find_course
from coach.pace.lapsing import lapsed_within
from commands.running import Ended, coach


def compare(rules: str, *more: object) -> Ended:
    return coach("pace", "--compare", rules, *more)


def test_its_json_has_every_rule_at_every_adherence() -> None:
    told = json.loads(compare("2of3,10of14", "--json").stdout)
    assert set(told) == {"course", "pace", "households", "seed", "quiet", "rules"}
    assert told["quiet"] == {"begins": 0.02, "ends": 0.1}
    assert [one["rule"] for one in told["rules"]] == ["2of3", "10of14"]
    for one in told["rules"]:
        assert set(one) == {"rule", "settles_within_28_at_0.4", "exact", "lapses_exact", "adherences"}
        assert (one["exact"], one["lapses_exact"]) == (False, True)
        assert [at["adherence"] for at in one["adherences"]] == [0.6, 0.7, 0.8, 0.9]
        assert all(set(at) == {"adherence", "p50", "p80", "lapsed_by_60"} for at in one["adherences"])
    shares = {at["lapsed_by_60"] for one in told["rules"] for at in one["adherences"]}
    assert shares == {lapsed_within(60, find_course("three-weeks").lapse_after, 0.02, 0.1)}


def test_an_adherence_a_pace_and_quiet_times_are_taken() -> None:
    more = ("--adherence", "1", "--pace", "gentle", "--drop-a-day", "0", "--json")
    (one,) = json.loads(compare("3of4", *more).stdout)["rules"]
    assert one["adherences"] == [{"adherence": 1.0, "p50": 28, "p80": 28, "lapsed_by_60": 0.0}]


def test_its_table_says_the_same_in_words_and_what_is_assumed() -> None:
    said = compare("3of4,10of14", "--adherence", "0.8").stdout
    assert "3 of the latest 4 kept\n" in said
    assert "keeps 80 % of days: through by day 27 for one in two, 31 for eight in ten" in said
    assert "settles by luck: 90 % of steps kept on 0.4 of days do" in said
    assert "lapsed by day 60: 42 %" in said
    assert "simulated with 2,000 households each, for who marks every day; days are taken to be" in said
    assert "2 % of households fall quiet each day, and 10 % of the quiet come back" in said
    assert "not on the rule or what is kept" in said
    assert "recommend" not in said


def test_a_rule_of_millions_of_states_is_answered_and_said_beforehand_to_take_a_while() -> None:
    ended = compare("2of3,23of30", "--adherence", "0.9", "--json")
    assert ended.stderr == "23 of 30 has 5,852,925 states. That takes a while, and up to 0.1 GiB of memory.\n"
    easy, hard = json.loads(ended.stdout)["rules"]
    assert hard["settles_within_28_at_0.4"] < 1e-4 < easy["settles_within_28_at_0.4"]


def test_what_this_machines_memory_does_not_hold_is_refused(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    of_a_gibibyte = {"SC_PAGE_SIZE": 4096, "SC_PHYS_PAGES": 1 << 18}
    monkeypatch.setattr("os.sysconf", of_a_gibibyte.__getitem__)
    assert main(["pace", "--compare", "15of30"]) == 2
    assert "15 of 30 has 145,422,675 ways to stand" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("rules", "more", "says"),
    [
        ("2of3,three", (), "“three” is no rule"),
        ("4of3", (), "cannot be kept"),
        ("2of3,2of3", (), "named twice"),
        ("3of40", (), "more than 30 outcomes"),
        ("2of3", ("--pace", "quick"), "no pace “quick”"),
        ("2of3", ("--drop-a-day", "2"), "a chance from 0 to 1"),
    ],
)
def test_what_cannot_be_compared_is_said_plainly(rules: str, more: tuple[str, ...], says: str) -> None:
    ended = compare(rules, *more)
    assert ended.returncode == 2
    assert says in ended.stderr
    assert "Traceback" not in ended.stderr
    assert ended.stdout == ""
