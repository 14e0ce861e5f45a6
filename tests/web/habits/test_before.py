"""`/days`: a grid of boxes that are forms, or answered line by line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from web.markup import read

if TYPE_CHECKING:
    from httpx2 import Response

    from web.house import House
    from web.markup import Element


def grid(house: House) -> Element:
    return read(house.http.get("/days").text)


def names(page: Element, step: str) -> list[str]:
    """What the boxes of a line are called."""
    line = page.one("li", id=f"line-{step}")
    return [button.attributes["aria-label"] for button in line.every("button")]


def tap(house: House, step: str, **box: str) -> Response:
    """A tap as htmx sends it."""
    shape = grid(house).one("input", id="shape").attributes["value"]
    return house.http.post(f"/days/lines/{step}", data={"shape": shape} | box, headers={"hx-request": "true"})


def test_the_first_day_says_what_comes(house: House) -> None:
    page = grid(house)
    assert not list(page.one(id="grid").every("button"))
    assert "Today is the first day" in page.one(id="grid").text


def test_every_box_has_a_name_and_every_column_leads_to_its_day(house: House) -> None:
    house.live(2)
    house.sleep()
    page = grid(house)
    day = "Make the bed, {} January: {}"
    assert names(page, "bed-made") == [
        day.format("Monday 4", "kept"),
        day.format("Tuesday 5", "kept"),
        day.format("Wednesday 6", "not marked"),
    ]
    heads = page.one("ol", "grid-days")
    assert [head.attributes["href"] for head in heads.every("a")] == [
        f"/days/2027-01-0{day}" for day in (4, 5, 6)
    ]


def test_a_box_is_a_form_that_comes_back_to_its_line(house: House) -> None:
    house.sleep(2)
    for box, word in (({"kept": "2027-01-05"}, "kept"), ({"undo": "2027-01-05"}, "not marked")):
        answer = house.http.post("/days/lines/bed-made", data=box)
        assert (answer.status_code, answer.headers["location"]) == (303, "/days#line-bed-made")
        assert names(grid(house), "bed-made")[1].endswith(f": {word}")


def test_a_tap_is_answered_with_its_line_alone(house: House) -> None:
    house.live(3)
    answer = tap(house, "bed-made", undo="2027-01-05")
    found = read(answer.text)
    assert [line.attributes["id"] for line in found.every("li")] == ["line-bed-made"]
    assert "hx-retarget" not in answer.headers
    assert found.one(id="said").text == "Make the bed: mark taken back."
    assert names(found, "bed-made")[1].endswith("not marked")
    assert (
        "Monday 4 January: kept." in read(tap(house, "bed-made", kept="2027-01-04").text).one(id="said").text
    )


def test_a_tap_that_changes_the_boxes_is_answered_with_the_whole_grid(house: House) -> None:
    house.live(12)
    page = grid(house)
    step, marked = next(
        (line.attributes["id"].removeprefix("line-"), boxes[0].attributes["value"])
        for line in page.every("li", "grid-line")
        if len(boxes := list(line.every("button"))) == 1 and boxes[0].attributes["value"] < "2027-01-14"
    )
    answer = tap(house, step, undo=marked)
    assert answer.headers["hx-retarget"] == "#grid"
    assert len(page_days(read(answer.text))) == 7
    assert len(names(read(answer.text), step)) > 1


def page_days(page: Element) -> list[Element]:
    return list(page.one("ol", "grid-days").every("li"))


def test_days_away_are_told_in_words_and_have_no_boxes(house: House) -> None:
    house.live(2)
    house.http.post("/api/pause")
    house.sleep(3)
    house.http.post("/api/resume")
    house.sleep()
    page = grid(house)
    assert "Away from Wednesday 6 January to Friday 8 January: nothing was due." in page.one(id="grid").text
    assert len(names(page, "bed-made")) == 3


def test_a_whole_time_away_says_that_nothing_is_missing(house: House) -> None:
    house.http.post("/api/pause")
    house.sleep(9)
    page = grid(house)
    assert not list(page.one(id="grid").every("button"))
    assert "You were away on these days" in page.one(id="grid").text


def test_a_tap_that_names_no_day_is_refused(house: House) -> None:
    house.sleep()
    assert house.http.post("/days/lines/bed-made", data={}).status_code == 422
    assert house.http.post("/days/lines/bed-made", data={"kept": "soon"}).status_code == 422
    assert house.http.post("/days/lines/moon", data={"kept": "2027-01-04"}).status_code == 404
    assert house.http.post("/days/lines/bed-made", data={"kept": "2026-12-04"}).status_code == 409


def test_today_and_the_week_lead_there_once_there_is_a_day_before(house: House) -> None:
    def ways(path: str) -> list[str]:
        return [
            link.attributes["href"] for link in read(house.http.get(path).text).one("nav", "pager").every("a")
        ]

    assert "/days" not in ways("/today")
    assert "/days" not in ways("/week")
    house.live(1)
    for path in ("/today", "/week", "/days/2027-01-05"):
        assert "/days" in ways(path), path
    house.sleep(6)
    assert "/days" in ways("/week")
    assert "/days" not in ways("/days/2027-01-04")
