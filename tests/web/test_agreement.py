"""Page and JSON are two renderings of one result, so they agree."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from coach.web.rendering import STAMPS, STATES
from web.markup import Element, read

if TYPE_CHECKING:
    from collections.abc import Callable

    from web.house import House


def _first_day(house: House) -> None:
    house.day()


def _some_marks(house: House) -> None:
    house.live(9)
    for line, mark in zip(house.day()["checklist"], ("kept", "small", "excused", "missed"), strict=False):
        house.mark(line["step"], mark)


def _away(house: House) -> None:
    house.live(3)
    house.http.post("/api/pause", json={"until": "2027-02-01"})


def _lapsed(house: House) -> None:
    house.live(12)
    house.sleep(21)


def _returned(house: House) -> None:
    _lapsed(house)
    house.http.post("/api/resume", json={"choice": "one"})


def _rebuilding(house: House) -> None:
    _lapsed(house)
    house.live(1)


def _stuck(house: House) -> None:
    house.live(11, "missed")


STORIES = [_first_day, _some_marks, _away, _lapsed, _returned, _rebuilding, _stuck]


def _shown_lines(page: Element) -> list[tuple[str, str | None]]:
    """Each line's step with the word of its mark."""
    lines = []
    for line in page.every("li", "line"):
        stamp = next(line.every("p", "stamp"), None)
        lines.append((line.attributes["id"].removeprefix("line-"), stamp.text if stamp else None))
    return lines


def _told_lines(day: dict[str, Any]) -> list[tuple[str, str | None]]:
    return [(line["step"], STAMPS[line["mark"]] if line["mark"] else None) for line in day["checklist"]]


@pytest.mark.parametrize("story", STORIES)
def test_today_shows_what_the_json_tells(house: House, story: Callable[[House], None]) -> None:
    story(house)
    day, page = house.day(), read(house.http.get("/today").text)
    # The page has the present part of the day first, and what is marked last.
    assert sorted(_shown_lines(page), key=str) == sorted(_told_lines(day), key=str)
    for line in day["checklist"]:
        shown = page.one("li", id=f"line-{line['step']}")
        assert line["title"] in shown.text
        assert (line["cue"] or "") in shown.text
        assert (line["small"] or "") in shown.text or line["mark"]
    if day["lesson"]:
        assert page.one(id="lesson").one("h2").text == day["lesson"]["title"]
    for reason in day["waiting_for"]:
        # Being away has a note of its own on the page.
        assert reason["kind"] == "paused" or reason["text"] in page.text
    assert ("Welcome back" in page.one(id="welcome").text) == (day["welcome_back"] is not None)
    assert len(list(page.every("details", "stuck"))) == len(day["stuck"])
    beside = [day["arrived"], day["empty"], day["few"], *day["settled"], *day["new_places"], *day["stuck"]]
    assert all(one["text"] in page.text for one in beside if one)
    assert all(step["title"] in page.text for step in day["resting"])


@pytest.mark.parametrize("story", STORIES)
def test_the_path_shows_what_the_json_tells(house: House, story: Callable[[House], None]) -> None:
    story(house)
    path, page = house.http.get("/api/path").json(), read(house.http.get("/path").text)
    told = [(step["title"], STATES[step["state"]]) for step in path["steps"]]
    items = list(page.every("li", "stand"))
    shown = [(item.one("a").text, item.one("span", "state").text.partition(",")[0]) for item in items]
    assert shown == told
    drawn = {node.attributes["href"]: node.attributes["aria-label"] for node in page.every("a", "node")}
    assert len(drawn) == len(path["steps"])
    for step in path["steps"]:
        assert drawn[f"/steps/{step['step']}"].startswith(f"{step['title']}: {STATES[step['state']]}")


def test_a_step_shows_what_the_json_tells(house: House) -> None:
    _some_marks(house)
    step, page = house.http.get("/api/steps/bed-made").json(), read(house.http.get("/steps/bed-made").text)
    outcomes = [item.text.rpartition(": ")[2] for item in page.one("ol", "dots").every("li")]
    assert outcomes == [outcome["outcome"] for outcome in step["recent"]]
    low, high = (f"{round(end * 100)} %" for end in step["strength_range"])
    assert f"anywhere from {low} to {high}" in page.text
    lessons = [lesson.one("h3").text for lesson in page.every("details", "lesson")]
    assert lessons == [lesson["title"] for lesson in step["lessons"]]


def test_a_mark_by_htmx_shows_of_its_line_what_the_page_shows(house: House) -> None:
    house.live(5)
    step = house.day()["checklist"][0]["step"]
    partial = read(house.tap(step, "kept").text)
    page = read(house.http.get("/today").text)
    assert partial.one("p", "stamp").text == page.one(id=f"do-{step}").one("p", "stamp").text == "Kept"
    assert dict(_told_lines(house.day()))[step] == "Kept"


def test_the_label_of_a_lesson_names_the_step_that_came_or_says_that_its_day_is_still_to_come(
    house: House,
) -> None:
    label = read(house.http.get("/today").text).one("span", "eyebrow")
    assert label.text == "New step: Make the bed"
    house.live(7)  # The dry round comes on a day that is not its own.
    day = house.day()
    assert day["introduced"] not in [line["step"] for line in day["checklist"]]
    lesson = read(house.http.get("/today").text).one(id="lesson")
    assert lesson.one("span", "eyebrow").text == "New step, on the list from its own day on"
    assert f"/steps/{day['introduced']}" in [link.attributes["href"] for link in lesson.every("a")]
