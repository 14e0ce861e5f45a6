"""The dates ahead on `/path`, `/path/what-if` and as JSON: one answer, in words, drawn and as data."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from coach.habits.forecast_answers import Span
from coach.web.pages.habits.weeks_ahead import WIDTH, weeks_ahead, weeks_for
from web.markup import Element, read

if TYPE_CHECKING:
    from web.house import House

KEYS = {"from", "to", "median", "futures", "seed", "cannot_say", "text", "record"}
ON = date(2027, 1, 4)


def see(house: House, address: str = "/path") -> Element:
    return read(house.http.get(address).text)


def told(house: House, address: str = "/api/forecast") -> dict[str, Any]:
    answer = house.http.get(address)
    assert answer.status_code == 200
    return dict(answer.json())


def some_days(house: House) -> House:
    """Eleven days, of which every fourth went badly."""
    for day in range(11):
        house.live(1, "missed" if day % 4 == 3 else "kept")
    return house


def span(first: int, median: int, likely: int, last: int) -> Span:
    from_, to, middle, eight = (ON + timedelta(days=days) for days in (first, last, median, likely))
    return Span(from_, to, middle, eight, 2000, 1, None, "")


def test_the_json_has_its_keys_and_no_others_with_dates_and_without(house: House) -> None:
    found = told(house)
    assert found.keys() == KEYS
    assert (found["cannot_say"], found["record"]) == ("too-few", {"over": 0, "held": 0})
    assert {found[key] for key in ("from", "to", "median")} == {None}
    found = told(some_days(house))
    assert found.keys() == KEYS
    assert f"{house.today}" < found["from"] <= found["median"] <= found["to"]
    assert (found["cannot_say"], found["futures"]) == (None, 2000)


def test_the_path_says_the_same_sentence_and_both_its_dates_stand_in_the_drawing(house: House) -> None:
    found = told(some_days(house))
    part = see(house).one("section", "dates-ahead")
    assert found["text"] in part.text
    drawn = [text.text for text in part.one("svg", "weeks-ahead").every("text")]
    assert all(f"by {day} with" in found["text"] for day in drawn[:2])
    assert drawn[2] == "today"
    assert "reckoned from your own marks" in part.text
    assert part.one("a").attributes["href"] == "/path/what-if"


def test_the_drawing_has_words_for_whoever_does_not_see_it(house: House) -> None:
    drawing = see(some_days(house)).one("svg", "weeks-ahead")
    assert drawing.attributes["role"] == "img"
    assert "8 in 10 lie in the band, from " in str(drawing.attributes["aria-label"])


def test_where_nothing_can_be_said_the_path_says_why_draws_nothing_and_compares_nothing(house: House) -> None:
    house.live(2)
    part = see(house).one("section", "dates-ahead")
    assert "Too early to tell." in part.text
    assert "there are 2 so far" in part.text
    assert not list(part.every("svg"))
    assert not list(part.every("a"))
    compared = see(house, "/path/what-if")
    assert "Too early to tell." in compared.text
    assert not list(compared.every("svg", "weeks-ahead"))


def test_before_the_start_the_path_has_no_dates_and_the_json_says_where_to_start(empty: House) -> None:
    assert not list(see(empty).every("section", "dates-ahead"))
    for address in ("/api/forecast", "/api/forecast/what-if"):
        answer = empty.http.get(address)
        assert (answer.status_code, answer.json()["type"][-11:]) == (409, "not-started")
    assert empty.http.get("/path/what-if").status_code in {303, 409}


def test_once_all_has_settled_the_path_says_no_more_of_it(house: House) -> None:
    house.live(22)
    assert told(house)["cannot_say"] == "nothing-left"
    assert not list(see(house).every("section", "dates-ahead"))


def test_nothing_but_the_path_speaks_of_it(house: House) -> None:
    some_days(house)
    for address in ("/today", "/days", "/month", "/steps/bed-made", "/settings"):
        assert "with a chance of" not in house.http.get(address).text


def test_what_if_shows_the_present_dates_and_each_change_on_one_scale(house: House) -> None:
    found, page = told(some_days(house), "/api/forecast/what-if"), see(house, "/path/what-if")
    assert found["present"]["text"] == told(house)["text"]
    sections = list(page.every("section", "dates-ahead"))
    spans = [found["present"], *found["changes"]]
    assert all(one["text"] in part.text for one, part in zip(spans, sections, strict=True))
    assert [one["change"] for one in found["changes"]] == ["gentler", "fewer", "day-off"]
    drawings = [part.one("svg", "weeks-ahead") for part in sections]
    ticks = {one.one("path", "ticks").attributes["d"] for one in drawings}
    assert len(ticks) == 1
    assert {one["seed"] for one in spans} == {found["present"]["seed"]}


def test_what_if_leads_to_where_each_change_can_be_chosen(house: House) -> None:
    page = see(some_days(house), "/path/what-if")
    links = [
        str(link.attributes["href"])
        for part in page.every("section", "dates-ahead")
        for link in part.every("a")
    ]
    assert links[0] == "/settings"
    assert links[-1] == "/path"
    assert len(links) == 4
    for link in links:
        assert house.http.get(link).status_code == 200


def test_to_look_writes_nothing_and_the_second_look_costs_no_numbers(house: House) -> None:
    version = some_days(house).day()["version"]
    see(house)
    see(house, "/path/what-if")
    assert told(house) == told(house)
    assert house.day()["version"] == version


def test_a_line_reaches_as_far_as_the_last_date_in_whole_weeks() -> None:
    assert weeks_for([span(1, 2, 3, 5)], ON) == 1
    assert weeks_for([span(1, 2, 3, 6)], ON) == 1
    assert weeks_for([span(1, 2, 3, 7)], ON) == 2
    assert weeks_for([span(1, 2, 3, 7), span(1, 2, 30, 20)], ON) == 5
    assert weeks_for([Span(None, None, None, None, 0, 1, "too-few", "")], ON) == 1


def test_dates_stand_where_they_fall_and_their_words_stay_within_the_drawing() -> None:
    line = weeks_ahead(span(0, 3, 10, 13), ON, 2)
    assert line is not None
    assert line.band == (4, WIDTH - 4)
    assert line.median.x < WIDTH / 2 < line.likely.x
    assert (line.median.anchor, line.likely.anchor) == ("middle", "middle")
    assert line.ticks == (4, WIDTH / 2, WIDTH - 4)
    assert line.ends == "in 2 weeks"
    edges = weeks_ahead(span(0, 0, 13, 13), ON, 2)
    assert edges is not None
    assert (edges.median.anchor, edges.likely.anchor) == ("start", "end")


@pytest.mark.parametrize(
    ("weeks", "ticks"), [(1, 2), (26, 27), (27, 7), (53, 14), (107, 27), (108, 9), (260, 21)]
)
def test_many_weeks_have_a_mark_for_each_fourth_and_very_many_for_each_thirteenth(
    weeks: int, ticks: int
) -> None:
    line = weeks_ahead(span(1, 2, 3, 4), ON, weeks)
    assert line is not None
    assert len(line.ticks) == ticks


def test_what_cannot_be_said_has_no_line() -> None:
    assert weeks_ahead(Span(None, None, None, None, 0, 1, "lapsed", ""), ON, 1) is None
