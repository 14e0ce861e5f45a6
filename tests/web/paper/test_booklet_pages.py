"""`/courses/…/booklet`: a course's lessons to read on paper, for everybody who is let in."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.markup import Element, read

if TYPE_CHECKING:
    from web.house import House

BOOKLET = "/courses/three-weeks/booklet"


def see(house: House) -> Element:
    answer = house.http.get(BOOKLET)
    assert answer.status_code == 200, answer.text
    return read(answer.text)


def test_the_contents_lead_to_every_step(house: House) -> None:
    page = see(house)
    links = [one.attributes["href"] for one in page.one("nav", "contents").every("a")]
    sections = [f"#{one.attributes['id']}" for one in page.every("section", "booklet-step")]
    assert links == sections
    assert links[0] == "#bed-made"
    steps = house.http.get("/api/path").json()["steps"]
    assert {link[1:] for link in links} == {step["step"] for step in steps}


def test_a_step_says_its_day_its_cue_its_small_version_and_its_lessons(house: House) -> None:
    step = see(house).one("section", id="bed-made").text
    for said in ("Day 1 · every day · morning · 2 minutes", "Cue: right after getting up", "Small version:"):
        assert said in step
    assert "Take care: Laundry" in see(house).one("section", id="laundry-moved").text


def test_it_is_there_before_the_start_too(empty: House) -> None:
    assert len(list(see(empty).every("section", "booklet-step"))) > 10


@pytest.mark.parametrize("name", ["nothing", "..", "catalogue", "%2e%2e%2fpyproject"])
def test_there_is_none_of_another_name(house: House, name: str) -> None:
    assert house.http.get(f"/courses/{name}/booklet").status_code == 404


def test_the_path_leads_to_it(house: House) -> None:
    assert list(read(house.http.get("/path").text).every("a", href=BOOKLET))


@pytest.mark.parametrize("address", [f"{BOOKLET}?format=pdf", "/cards?format=pdf"])
def test_it_is_set_as_pdf(house: House, address: str) -> None:
    answer = house.http.get(address)
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
