"""`/sheet` and `/api/sheet`: a week on one sheet, how it is wanted, and the same as JSON and PDF."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING, Any, get_args
from unittest.mock import patch

import pytest

from coach.paper import sheet as service
from coach.paper.answers import PaperName, PieceName
from coach.paper.choices import PIECES
from coach.press.printed import Printed, TooLong
from coach.web.pages.paper.sheet import PAPERS
from coach.web.pages.paper.sheet import PIECES as NAMED
from coach.web.printing import as_pdf, too_long
from paper.made import a_sheet
from web.at_home import HomeHouse
from web.markup import Element, read

if TYPE_CHECKING:
    from pathlib import Path

    from web.house import House


def see(house: House, path: str = "/sheet") -> Element:
    """A page."""
    answer = house.http.get(path)
    assert answer.status_code == 200, answer.text
    return read(answer.text)


def asked(house: House, week: str = "2027-W01") -> dict[str, Any]:
    """A week's sheet as JSON."""
    answer = house.http.get(f"/api/sheet/{week}")
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def boxes(page: Element) -> list[str]:
    """What the boxes of the grid say."""
    return [box.text for box in page.one("table").every("span", "tick")]


def test_the_page_shows_the_boxes_that_json_tells(house: House) -> None:
    house.live(3)
    told = [box for line in asked(house)["lines"] for box in line["boxes"] if box != "none"]
    shown = ["open" if text == "not marked" else text for text in boxes(see(house))]
    assert shown == told
    assert "kept" in shown
    assert "open" in shown


def test_a_mark_shows_at_once_on_the_page_that_was_kept(house: House) -> None:
    assert set(boxes(see(house))) == {"not marked"}
    house.mark("bed-made")
    assert "kept" in boxes(see(house))


def test_weeks_lead_to_each_other_and_past_ones_can_be_looked_at(house: House) -> None:
    house.live(8)
    first = see(house, "/sheet/2027-W01")
    links = {link.text: link.attributes["href"] for link in first.one("nav", "pager").every("a")}
    assert links["This week"] == "/sheet"
    assert links["Week after"] == "/sheet/2027-W02"
    assert "Week before" not in links
    assert see(house, links["Week after"]).one("h1").text == "The week sheet"


@pytest.mark.parametrize(("week", "status"), [("2027-W54", 422), ("soon", 422), ("2026-W01", 404)])
def test_a_week_that_is_none_is_refused_as_the_page_of_the_week_refuses_it(
    house: House, week: str, status: int
) -> None:
    found = [house.http.get(f"{place}/{week}").status_code for place in ("/sheet", "/week", "/api/sheet")]
    assert found == [status] * 3


def test_before_the_start_the_page_leads_there_and_json_says_so(empty: House) -> None:
    answer = empty.http.get("/sheet", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/start")
    problem = empty.http.get("/api/sheet/2027-W01")
    assert (problem.status_code, problem.json()["start"]) == (409, "/start")


def test_what_is_chosen_is_kept_and_stands_on_the_page(house: House) -> None:
    sent = {"paper": "letter", "across": "yes", "back": "yes", "left_off": ["cues", "writing"], "week": ""}
    assert house.http.post("/sheet/choices", data=sent, follow_redirects=False).status_code == 303
    assert house.http.get("/api/sheet/choices").json() == {
        "paper": "letter",
        "across": True,
        "back": True,
        "left_off": ["cues", "writing"],
    }
    page = see(house)
    front, back = page.every("article")
    assert {"letter", "across"} <= set(front.attributes["class"].split())
    assert "back" in back.attributes["class"].split()
    assert not list(front.every("section", "writing"))
    chosen = {box.attributes["value"] for box in page.every("input") if "checked" in box.attributes}
    assert chosen == {"letter", "yes", "cues", "writing"}


def test_two_people_can_each_leave_off_something_at_once(house: House) -> None:
    seen = next(one for one in see(house).every("input") if one.attributes["name"] == "seen")
    first = {"paper": "a4", "seen": seen.attributes["value"], "left_off": ["cues"]}
    second = first | {"left_off": ["dues"]}
    for sent in (first, second):
        assert house.http.post("/sheet/choices", data=sent, follow_redirects=False).status_code == 303
    assert house.http.get("/api/sheet/choices").json()["left_off"] == ["cues", "dues"]


def test_two_people_who_choose_another_paper_are_shown_both(house: House) -> None:
    seen = next(one for one in see(house).every("input") if one.attributes["name"] == "seen")
    mine = {"paper": "letter", "seen": seen.attributes["value"]}
    house.http.put("/api/sheet/choices", json={"paper": "a4", "across": True})
    assert house.http.post("/sheet/choices", data=mine, follow_redirects=False).status_code == 303
    assert house.http.get("/api/sheet/choices").json()["across"] is True
    answer = house.http.post("/sheet/choices", data={"paper": "a3", "week": "nowhere"})
    assert answer.status_code == 422
    assert "There is no paper “a3” here" in answer.text


def test_a_program_that_has_not_seen_the_latest_choice_is_held_back(house: House) -> None:
    tag = house.http.get("/api/sheet/choices").headers["etag"]
    assert house.http.put("/api/sheet/choices", json={"paper": "letter"}).status_code == 200
    late = house.http.put("/api/sheet/choices", json={"paper": "a4"}, headers={"if-match": tag})
    assert (late.status_code, late.json()["now"]["paper"]) == (412, "letter")


def test_a_sheet_that_is_too_long_says_by_how_many_lines_and_what_to_leave_off(house: House) -> None:
    with patch.object(service, "sheet_in", lambda _where, _week=None: a_sheet(60)):
        page = see(house, "/sheet?said=saved")
    note = next(one for one in page.every("section", "note") if "too long for one page" in one.text)
    assert "lines too long for one page" in note.one("h2").text
    assert "Nothing is cut" in note.text
    assert "Dinners: saves" in note.text


def test_where_several_live_the_sheet_names_them_and_a_member_may_say_how_it_is_wanted(
    tmp_path: Path,
) -> None:
    home = HomeHouse(tmp_path)
    try:
        home.start()
        ana, ben = home.paired("Ana", 7), home.paired("Ben", 8)
        # Who joined within one second is named in either order.
        members = ana.get("/api/sheet/2027-W01").json()["members"]
        assert sorted(members) == ["Ana", "Ben"]
        head = read(ana.get("/sheet").text).one("article").one("header").text
        assert f"Who: {', '.join(members)}." in head
        assert ben.post("/sheet/choices", data={"paper": "letter", "left_off": ["names"]}).status_code == 303
        assert "Who: " not in ana.get("/sheet").text
    finally:
        home.close()


def test_every_paper_and_piece_has_a_word() -> None:
    assert set(PAPERS) == set(get_args(PaperName))
    assert tuple(NAMED) == PIECES == get_args(PieceName)


def test_a_week_as_pdf_has_a_name_and_one_page(house: House) -> None:
    pytest.importorskip("typst")
    house.live(3)
    answer = house.http.get("/sheet/2027-W01?format=pdf")
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"] == 'inline; filename="week-2027-W01.pdf"'
    assert answer.content.startswith(b"%PDF")
    assert house.http.get("/sheet?format=pdf").content == answer.content


def test_without_the_library_it_is_said_how_to_install_it(house: House) -> None:
    with patch.dict(sys.modules, {"typst": None}):
        from coach.press import faces  # noqa: PLC0415  what it has loaded is forgotten for this test

        faces.library.cache_clear()
        answer = house.http.get("/sheet?format=pdf", headers={"accept": "text/html"})
        faces.library.cache_clear()
    assert answer.status_code == 503
    assert "coach[pdf]" in answer.text


def test_a_sheet_that_the_press_cannot_fit_is_a_page_that_says_what_to_do(house: House) -> None:
    with patch("coach.press.sheet.sheet", lambda _sheet: TooLong(3)):
        answer = house.http.get("/sheet?format=pdf", headers={"accept": "text/html"})
    assert answer.status_code == 409
    assert "3 lines too long for one page" in answer.text
    assert "Nothing was cut." in answer.text


def test_a_back_page_that_is_too_long_says_so_before_anybody_prints(house: House) -> None:
    made = a_sheet(2, back=True)
    full = replace(made, jobs=tuple(replace(job, lines=("Dust the shelves",) * 40) for job in made.jobs))
    with patch.object(service, "sheet_in", lambda _where, _week=None: full):
        page = see(house, "/sheet")
    note = next(one for one in page.every("section", "note") if "The back page is" in one.text)
    assert "lines too long" in note.one("h2").text
    with patch("coach.press.sheet.sheet", lambda _sheet: TooLong(0, 4)):
        answer = house.http.get("/sheet?format=pdf", headers={"accept": "text/html"})
    assert answer.status_code == 409
    assert "back page is 4 lines too long" in answer.text


def test_what_is_set_is_answered_as_it_is() -> None:
    with patch("coach.press.sheet.sheet", lambda _sheet: Printed(b"%PDF-1.7", 1)):
        answer = as_pdf("sheet", a_sheet(1), "week-2027-W05")
    assert (answer.body, answer.media_type) == (b"%PDF-1.7", "application/pdf")
    assert too_long(1, "Do this.").startswith("It is 1 line too long")
