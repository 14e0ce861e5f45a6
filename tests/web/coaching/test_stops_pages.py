"""Where people stop, as a page, as JSON and as a file."""

from __future__ import annotations

import csv
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from coach.coaching.rules.counts import Count
from coach.coaching.rules.logrank import compared
from coach.coaching.told import sunday_of
from coach.ground.groups import BY_NAME, COUNTED
from web.coaching.crowd import add, fill
from web.many import ManyHouse
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path
    from typing import Any

    from web.markup import Element

PLACE = "/groups/g1"


class Valley(ManyHouse):
    """A group of Ana's with households that share; Ben coaches too."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.ana, self.ben = (self.signed_in(self.person(name, coaches=True)) for name in ("Ana", "Ben"))
        self.group("ana", "g1")
        course = self.app.state.context.library.course("three-weeks")
        self.steps = tuple(step.id for step in course.steps[:6])
        self.sunday = sunday_of(self.today)

    def filled(self, households: int = 40) -> Valley:
        """The same with so many households that are counted, of which every tenth shares by name."""
        fill(self.store, "g1", self.sunday, self.steps, households)
        return self

    def stops(self, query: str = "") -> Any:  # noqa: ANN401  JSON, or a file's text
        """What the group's address gives."""
        answer = self.ana.get(f"/api{PLACE}/stops{query}")
        assert answer.status_code == 200, answer.text
        return answer.text if "csv" in query else answer.json()

    def page(self, path: str = "stops") -> Element:
        """One of the group's pages."""
        answer = self.ana.get(f"{PLACE}/{path}")
        assert answer.status_code == 200, answer.text
        return read(answer.text)


@pytest.fixture
def valley(tmp_path: Path) -> Iterator[Valley]:
    house = Valley(tmp_path)
    yield house
    house.close()


def test_each_step_is_told_in_the_order_of_the_course(valley: Valley) -> None:
    found = valley.filled().stops()
    ids = [one["step"] for one in found["steps"]]
    assert ids[:6] == list(valley.steps)
    first = found["steps"][0]
    assert first["entered"] == 40
    assert (
        sum(first[key] or 0 for key in ("settled", "set_aside", "lapsed", "left", "open")) + first["rest"]
        >= 40
    )
    assert first["median_low"] <= first["median"] <= first["median_high"]
    assert all(row[0] > 0 and 0 <= sum(part or 0 for part in row[1:]) <= 1.001 for row in first["incidence"])


def test_no_number_of_counted_households_is_below_five(valley: Valley) -> None:
    found = valley.filled().stops()
    named = 4
    for one in found["steps"]:
        for key in ("settled", "set_aside", "lapsed", "left", "open"):
            number = one[key]
            assert number is None or number == 0 or number >= 5 or number <= named


def test_another_coach_is_not_told_that_there_is_such_a_group(valley: Valley) -> None:
    for path in ("stops", "weeks", "compare?step=a&other=b", "compare?step=a"):
        assert valley.ben.get(f"/api{PLACE}/{path}").status_code == 404
    for path in ("stops", "compare", "compare?step=a", "compare?with_what=paces:a:b:c"):
        assert valley.ben.get(f"{PLACE}/{path}").status_code == 404


def test_a_household_that_shares_no_more_is_in_nothing_the_coach_opens(valley: Valley) -> None:
    valley.filled()
    valley.stops()
    with valley.store.writing("h0") as writing:
        enrolment = writing.enrolment()
        assert enrolment is not None
        writing.put_enrolment(replace(enrolment, level="nothing", level_until=None))
    first = valley.stops()["steps"][0]
    assert (first["anew"], first["entered"]) == (True, None)


def test_one_more_household_changes_no_number(valley: Valley) -> None:
    valley.filled()
    before = valley.stops()["steps"]
    add(valley.store, "g1", valley.sunday, 50, valley.steps, COUNTED)
    assert valley.stops()["steps"] == before


def test_a_file_has_nothing_of_fewer_than_ten(valley: Valley) -> None:
    lines = list(csv.DictReader(valley.filled().stops("?format=csv").splitlines()))
    assert lines[0]["entered"] == "40"
    numbers = [line[key] for line in lines for key in ("settled", "set_aside", "lapsed", "left", "open")]
    assert not any(0 < int(number) < 10 for number in numbers if number)


def test_the_page_says_each_step_in_words_and_numbers(valley: Valley) -> None:
    valley.filled()
    shown = valley.page()
    assert "40 began it" in shown.text
    assert "still at it" in shown.text
    assert "Half settle it by day" in shown.text
    assert "Week by week since the start" in shown.text


def test_a_group_that_nobody_shares_with_is_told_what_to_do(valley: Valley) -> None:
    assert "There is nothing to tell yet" in valley.page().text


def test_a_group_with_few_that_are_counted_reads_as_one_with_none(valley: Valley) -> None:
    before = valley.page().text
    valley.filled(4)
    assert valley.page().text == before


def told_by(valley: Valley) -> tuple[Any, ...]:
    """Every answer and page of where people stop, whole."""
    weeks = valley.ana.get(f"/api{PLACE}/weeks").json()
    old = valley.ana.get(f"/api{PLACE}/stops?version=d1")
    return valley.stops(), valley.stops("?format=csv"), weeks, old.status_code, valley.page().text


@pytest.mark.parametrize("households", [0, 1, 3])
def test_not_a_word_of_the_answers_tells_one_more_household_among_few(
    valley: Valley, households: int
) -> None:
    valley.filled(households)
    before = told_by(valley)
    add(valley.store, "g1", valley.sunday, 50, valley.steps, COUNTED)
    assert told_by(valley) == before


def test_nor_does_one_more_beside_households_that_share_by_name(valley: Valley) -> None:
    for number in (9, 19):
        add(valley.store, "g1", valley.sunday, number, valley.steps, BY_NAME)
    before = told_by(valley)
    assert valley.stops()["steps"][0]["waiting"] is True
    add(valley.store, "g1", valley.sunday, 50, valley.steps, COUNTED)
    assert told_by(valley) == before


def test_nor_does_the_first_that_begins_another_version_or_step(valley: Valley) -> None:
    fill(valley.store, "g1", valley.sunday, valley.steps[:2])
    told_by(valley)
    before = told_by(valley)
    add(valley.store, "g1", valley.sunday, 50, valley.steps, COUNTED)
    assert told_by(valley) == before


def test_on_a_monday_the_page_says_that_homes_still_come_through_sunday(valley: Valley) -> None:
    valley.filled()
    assert valley.today.isoweekday() == 1
    assert "In the course of Monday" in valley.page().text


def test_weeks_are_told_by_the_week_of_the_start(valley: Valley) -> None:
    found = valley.filled().ana.get(f"/api{PLACE}/weeks").json()
    assert len(found["rows"]) == 3
    assert sum(row["households"] for row in found["rows"]) == 40
    first = found["rows"][0]["weeks"][0]
    assert (first["ramping"], first["unfinished"]) == (found["rows"][0]["households"], False)


def test_one_comparison_is_refused_with_too_few(valley: Valley) -> None:
    valley.filled()
    valley.group("ana", "g2")
    answer = valley.ana.get(f"/api{PLACE}/compare?step={valley.steps[0]}&other=g2")
    page = valley.ana.get(f"{PLACE}/compare?step={valley.steps[0]}&with_what=group:g2")
    assert answer.status_code == 422
    assert "too few households" in answer.json()["detail"]
    assert "too few households" in page.text


def test_one_comparison_says_chi_square_p_and_the_events_it_had(valley: Valley) -> None:
    valley.filled()
    valley.group("ana", "g2")
    for number in range(60, 100):
        add(valley.store, "g2", valley.sunday, number, valley.steps)
    found = valley.ana.get(f"/api{PLACE}/compare?step={valley.steps[0]}&other=g2").json()
    assert [side["entered"] for side in found["sides"]] == [40, 40]
    assert found["events"] == sum(side["settled"] for side in found["sides"])
    assert 0 < found["p"] <= 1
    assert "Log-rank" in valley.page(f"compare?step={valley.steps[0]}&with_what=group:g2").text


def paces(valley: Valley) -> Any:  # noqa: ANN401  JSON
    """The comparison of both paces at the first step."""
    return valley.ana.get(f"/api{PLACE}/compare?step={valley.steps[0]}&pace=standard&pace=gentle")


def test_two_paces_are_compared_by_the_test_alone(valley: Valley) -> None:
    found = paces(valley.filled(80)).json()
    assert [side["label"] for side in found["sides"]] == ["standard", "gentle"]
    assert {side["entered"] for side in found["sides"]} | {side["settled"] for side in found["sides"]} == {
        None
    }
    assert found["events"] % 5 == 0
    assert found["events"] >= 10
    assert (round(found["chi_square"], 1), round(found["p"], 2)) == (found["chi_square"], found["p"])
    shown = valley.page(f"compare?step={valley.steps[0]}&with_what=paces:standard:gentle").text
    assert "Log-rank" in shown
    assert "not told" in shown


def test_paces_are_compared_as_the_log_rank_test_of_both_lots_says(valley: Valley) -> None:
    valley.filled(80)
    with valley.store.counting() as counting:
        rows = counting.paced("g1", valley.today, valley.steps[0])
    first, second = (
        [Count(one.days, one.ending, one.households) for one in rows if one.pace == pace]
        for pace in ("standard", "gentle")
    )
    expected = compared(first, second)
    found = paces(valley).json()
    assert expected.chi_square is not None
    assert found["chi_square"] == round(expected.chi_square, 1)
    assert found["events"] <= sum(expected.events) < found["events"] + 5


def test_a_pace_that_few_began_at_and_one_with_itself_are_not_compared(valley: Valley) -> None:
    valley.filled(30)
    few = paces(valley)
    assert (few.status_code, "too few households" in few.json()["detail"]) == (422, True)
    same = valley.ana.get(f"/api{PLACE}/compare?step={valley.steps[0]}&pace=gentle&pace=gentle")
    assert (same.status_code, "the same pace" in same.json()["detail"]) == (422, True)


def test_two_versions_can_be_named_and_anything_else_only_once(valley: Valley) -> None:
    valley.filled()
    asked = f"/api{PLACE}/compare?step={valley.steps[0]}"
    versions = valley.ana.get(f"{asked}&version=d1&version=d2")
    assert (versions.status_code, "Version d2 has too few" in versions.json()["detail"]) == (422, True)
    twice = valley.ana.get(f"{asked}&other=a&other=b")
    assert (twice.status_code, "Give it once" in twice.json()["detail"]) == (422, True)
