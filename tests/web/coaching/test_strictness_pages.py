"""How strict a course's rules are, as its coach sees it and as programs ask for it."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING, Any

import pytest

from coach.coaching.library import find_course
from coach.coaching.packed_courses import checked_files
from coach.coaching.strictness import FARTHEST, SIMULATED
from coach.pace.comparing import Asked, compared
from coaching.folders import STEP, hall
from web.coaching.valley import ANA, BEN, HOUSEHOLD, Valley

if TYPE_CHECKING:
    from collections.abc import Iterator

    from web.markup import Element

USUAL = [(2, 3), (3, 4), (4, 5), (10, 14)]


@pytest.fixture(scope="module")
def valley(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Valley]:
    house = Valley(tmp_path_factory.mktemp("valley"))
    yield house
    house.close()


def asked(valley: Valley, query: str = "", caller: str = ANA) -> tuple[int, dict[str, Any]]:
    with valley.asked_by(caller):
        answer = valley.http.get(f"/api{valley.place}/pace{query}")
    return answer.status_code, answer.json()


def cells(page: Element, table: str) -> list[list[str]]:
    rows = list(page.one("table", table).every("tr"))[1:]
    return [[" ".join(cell.text.split()) for cell in row.every("td")] for row in rows]


def typed(page: Element, name: str) -> str:
    """What stands in a field."""
    return next(one for one in page.every("input") if one.attributes.get("name") == name).attributes["value"]


def test_the_usual_rules_are_those_around_the_courses_own_and_cost_what_is_worked_out(valley: Valley) -> None:
    status, told = asked(valley)
    assert status == 200
    assert told["course"]["own"] == "3of4"
    found = compared(find_course("three-weeks"), USUAL, Asked(households=SIMULATED, farthest=FARTHEST))
    rules = told["rules"]
    assert [(one["kept"], one["of"]) for one in rules] == USUAL
    for theirs, ours in zip(rules, found, strict=True):
        assert theirs["exact"] is False
        assert theirs["by_luck"] == ours.by_luck
        assert [(one["p50"], one["p80"], one["lapsed"]) for one in theirs["at"]] == [
            (one.p50, one.p80, one.lapsed) for one in ours.at
        ]


def test_the_page_says_the_same_in_drawings_and_in_tables(valley: Valley) -> None:
    page = valley.page(f"{valley.place}/course/pace?rules=2of3%2C+10of14&pace=gentle", ANA)
    _, told = asked(valley, "?rules=2of3,10of14&pace=gentle")
    rules = told["rules"]
    expected = [[f"{one['p50']} to {one['p80']}" for one in rule["at"]] for rule in rules]
    assert cells(page, "day-table") == expected
    assert [row[1] for row in cells(page, "share-table")] == ["42 %", "42 %"]
    assert len([one for one in page.every("svg") if one.attributes.get("class") == "days-drawn"]) == 2
    assert typed(page, "rules") == "2of3, 10of14"
    assert "own rule, 3 of 4, is not among them." in page.text
    assert "counts most with the easiest rules" in page.text


def test_the_courses_page_leads_there(valley: Valley) -> None:
    page = valley.page(f"{valley.place}/course", ANA)
    links = {link.attributes["href"]: link.text for link in page.every("a")}
    assert links[f"{valley.place}/course/pace"] == "How strict its rules are"


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ("rules=three+of+four", "“three of four” is no rule"),
        ("rules=4of3", "cannot be kept"),
        ("rules=20of29", "ways to stand"),
        ("rules=1of31", "more than 30 outcomes"),
        ("rules=1of1,1of2,1of3,1of4,1of5,1of6,1of7", "7 rules are too many"),
        ("rules=" + "1of2," * 60, "too long"),
        ("pace=quick", "no pace “quick”"),
        ("rules=%3Cb%3E", "“&lt;b&gt;” is no rule"),
    ],
)
def test_what_is_wrong_is_said_beside_the_form_and_what_was_typed_stays(
    valley: Valley, query: str, says: str
) -> None:
    with valley.asked_by(ANA):
        answer = valley.http.get(f"{valley.place}/course/pace?{query}")
        told = valley.http.get(f"/api{valley.place}/pace?{query}")
    assert answer.status_code == told.status_code == 422
    assert says in answer.text
    assert 'class="fault"' in answer.text
    assert says.replace("&lt;b&gt;", "<b>") in told.json()["detail"]
    if query.startswith("rules=1of31"):
        assert 'value="1of31"' in answer.text
    assert "days-drawn" not in answer.text


def test_nobody_but_the_coach_of_the_group_is_told_anything_of_it(valley: Valley) -> None:
    for caller in (BEN, HOUSEHOLD):
        for query in ("", "?rules=nonsense", "?pace=quick", "?version=none"):
            assert asked(valley, query, caller)[0] == 404
            with valley.asked_by(caller):
                assert valley.http.get(f"{valley.place}/course/pace{query}").status_code == 404
    assert asked(valley, f"?version={64 * '0'}")[0] == 404


def test_a_version_that_does_not_hold_yet_can_be_looked_at_and_is_simulated_where_it_must(
    valley: Valley,
) -> None:
    weekly = STEP.format(
        title="Shoes",
        keys='repeats = "FREQ=WEEKLY;BYDAY=MO"\nsettles = {kept = 1, of = 2}\n',
        text="In a row.",
    )
    files = checked_files(
        "hall", {name: text.encode() for name, text in hall(**{"01-shoes.md": weekly}).items()}
    )
    with valley.asked_by(ANA):
        headers = {"content-type": "application/zip"}
        assert valley.http.post("/api/courses", content=files.packed, headers=headers).status_code == 201
    status, told = asked(valley, f"?version={files.digest}&rules=1of2")
    assert status == 200
    assert told["course"]["title"] == "The hall"
    (rule,) = told["rules"]
    assert (rule["exact"], rule["lapses_exact"]) == (False, False)
    page = valley.page(f"{valley.place}/course/pace?version={files.digest}&rules=1of2", ANA)
    assert "simulated with 500 households" in page.text
    assert typed(page, "version") == files.digest


def test_a_look_that_was_had_already_is_not_worked_out_again(
    valley: Valley, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = asked(valley, "?rules=5of7")
    monkeypatch.setattr("coach.pace.comparing.compared", None)
    assert asked(valley, "?rules=5%20of%207") == first
    monkeypatch.undo()


def test_numpy_is_not_loaded_before_somebody_looks() -> None:
    told = "import sys, coach.app, coach.coaching.strictness; print('numpy' in sys.modules)"
    ended = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    assert ended.stdout == "False\n"
