"""The picture of the path and the page of a step: gates, fields and words say what the JSON tells."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from coach.web.rendering import STATES
from web.markup import Element, read

if TYPE_CHECKING:
    from web.house import House


def see(house: House, address: str) -> Element:
    return read(house.http.get(address).text)


def bars(gate: Element) -> tuple[int, int]:
    """All bars of a drawn gate, and the lifted ones."""
    drawn = list(gate.every("path", "bar"))
    return len(drawn), sum("lifted" in bar.classes for bar in drawn)


def test_the_gate_in_the_picture_has_the_bars_that_the_json_tells(house: House) -> None:
    house.mark("bed-made", "kept")
    house.sleep(1)
    told = {step["step"]: step["gate"] for step in house.http.get("/api/path").json()["steps"]}
    assert told["bed-made"] == {"bars": 3, "lifted": 1}
    assert told["table-cleared"] == {"bars": 3, "lifted": 0}
    gates = [bars(gate) for gate in see(house, "/path").one("svg", "farm").every("g", "gate")]
    assert len(gates) == 14
    assert sorted(set(gates)) == [(3, 0), (3, 1)]


def test_the_gate_of_a_settled_step_is_open_and_that_of_the_gentle_pace_has_a_bar_more(house: House) -> None:
    house.live(3)
    assert house.http.get("/api/steps/bed-made").json()["gate"] == {"bars": 3, "lifted": 3}
    assert "Its gate is open: settled on " in see(house, "/steps/bed-made").text


def test_the_legend_has_the_states_that_occur_drawn_as_in_the_picture_and_no_others(house: House) -> None:
    page = see(house, "/path")
    legend = page.one("ul", "legend")
    words = [item.text for item in legend.every("li")]
    assert words[:2] == [STATES["practising"], STATES["ahead"]]
    assert words[2:] == [
        "next if all is kept",
        "a kept day lifts a bar; a miss lowers none",
        "all of these first",
        "one of these",
    ]
    patterns = {part for field in page.one("svg", "farm").every("g", "field-sign") for part in shapes(field)}
    assert patterns == {part for field in legend.every("svg", "field-sign") for part in shapes(field)}
    house.live(6)
    assert STATES["settled"] in see(house, "/path").one("ul", "legend").text


def shapes(field: Element) -> set[str]:
    return {name for part in (*field.every("path"), *field.every("rect")) for name in part.classes}


def test_before_the_start_the_path_says_where_to_begin(empty: House) -> None:
    page = see(empty, "/path")
    begin = page.one("section", "empty")
    assert begin.one("a").attributes["href"] == "/start"
    assert "next if all is kept" not in page.text
    assert len(list(page.every("a", "node"))) == 13


@pytest.mark.parametrize("days", [0, 1, 3, 6])
def test_in_the_first_days_the_page_says_that_it_is_too_early_to_tell(house: House, days: int) -> None:
    house.live(days, "missed")
    page = see(house, "/steps/bed-made")
    count = {0: "are none", 1: "is 1"}.get(days, f"are {days}")
    assert f"Too early to tell. An estimate needs 7 outcomes; there {count} so far." in page.text
    assert not re.search(r"\d %", page.text)


def test_where_nothing_was_kept_nothing_is_estimated(house: House) -> None:
    house.live(8, "missed")
    text = see(house, "/steps/bed-made").text
    assert "Nothing to estimate from yet: kept none of 8." in text
    assert not re.search(r"\d %", text)


def test_a_gate_of_many_bars_is_drawn_open_only_once_it_is(house: House) -> None:
    house.http.patch("/api/steps/bed-made", json={"settles": {"kept": 10, "of": 10}})
    drawn = []
    for _ in range(11):
        drawn.append(bars(see(house, "/steps/bed-made").one("svg", "gate")))
        house.live(1)
    assert drawn == [(7, lifted) for lifted in (0, 0, 1, 2, 2, 3, 4, 4, 5, 6, 7)]


def test_what_was_kept_is_said_with_what_opens_the_gate(house: House) -> None:
    assert "No day has closed yet; 3 of 4 opens the gate." in see(house, "/steps/bed-made").text
    house.live(1)
    assert "Kept 1 of 1 so far; 3 of 4 opens the gate." in see(house, "/steps/bed-made").text
    house.live(1)
    page = see(house, "/steps/bed-made")
    assert "Kept 2 of the last 2; 3 of 4 opens the gate." in page.text
    assert bars(page.one("svg", "gate")) == (3, 2)
    assert "Kept 2 of the last 2." not in page.text
    house.live(3, "missed")
    page = see(house, "/steps/bed-made")
    assert "Kept 1 of the last 4; 3 of 4 opens the gate." in page.text
    assert (
        "2 of its 3 bars are lifted: so many were kept together before, and a miss lowers none." in page.text
    )
    assert bars(page.one("svg", "gate")) == (3, 2)


def test_a_step_that_is_set_aside_stands_with_its_gate_open(house: House) -> None:
    house.http.post("/steps/bed-made/set-aside")
    assert "While it is set aside, its gate stands open." in see(house, "/steps/bed-made").text
    assert house.http.get("/api/steps/bed-made").json()["gate"]["lifted"] == 3
