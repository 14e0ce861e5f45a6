"""`/catalogue`: steps one can add, by groups, and a word to look for that needs no JavaScript."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.markup import read

if TYPE_CHECKING:
    from web.house import House
    from web.markup import Element


def see(house: House, asked: str = "") -> Element:
    return read(house.http.get("/catalogue", params={"q": asked} if asked else {}).text)


def titles(page: Element) -> list[str]:
    """The names of the steps that can be seen."""
    rows = [row for row in page.every("li", "offer") if "hidden" not in row.attributes]
    return [row.one("h3").text for row in rows]


def groups(page: Element) -> list[Element]:
    return [group for group in page.every("details", "group") if "hidden" not in group.attributes]


def the_row(page: Element) -> Element:
    """The only row that can be seen."""
    [row] = (row for row in page.every("li", "offer") if "hidden" not in row.attributes)
    return row


def test_the_groups_are_folded_and_say_how_many_steps_they_hold(house: House) -> None:
    page = see(house)
    assert "Kitchen and food" in groups(page)[0].one("summary").text
    assert not [group for group in groups(page) if "open" in group.attributes]
    counts = [group.one("span", "count").text for group in groups(page)]
    held = [len(list(group.every("li", "offer"))) for group in groups(page)]
    assert counts == [f"{count} steps" for count in held]
    assert sum(held) == len(titles(page)) == 49


def test_it_stands_there_before_the_start_too(empty: House) -> None:
    assert len(groups(see(empty))) == 9
    assert titles(see(empty, "kettle descaled")) == []
    assert titles(see(empty, "descale")) == ["Descale the kettle"]


@pytest.mark.parametrize(
    ("asked", "there"),
    [
        ("WIPE  hob", "Wipe the hob"),
        ("before an early walk", None),
        ("open the curtains", "Air the bedroom"),  # its cue
        ("three sips", "A glass of water with breakfast"),  # its small version
        ("wash them", "Wash the pet's bowls"),  # its why
    ],
)
def test_every_word_is_looked_for_in_title_why_cue_and_small_version(
    house: House, asked: str, there: str | None
) -> None:
    assert titles(see(house, asked)) == ([there] if there else [])


def test_what_was_found_is_counted_and_its_groups_are_open(house: House) -> None:
    page = see(house, "wipe")
    count = len(titles(page))
    assert 1 < count < 49
    assert page.one(id="found").text == f"{count} of 49 steps have “wipe” in them."
    assert all("open" in group.attributes for group in groups(page))
    assert page.one("input", id="q").attributes["value"] == "wipe"
    assert see(house, "descale").one(id="found").text == "1 of 49 steps has “descale” in it."


def test_a_word_that_is_not_there_says_what_to_do(house: House) -> None:
    page = see(house, "zebra <b>")
    assert page.one(id="found").text == (
        "No step has “zebra <b>” in it. Try another word, or write a step of your own."
    )
    assert groups(page) == []
    assert "/new-step" in [link.attributes["href"] for link in page.every("a", "button")]


def test_a_step_is_added_out_of_what_was_found(house: House) -> None:
    row = the_row(see(house, "descale"))
    assert house.http.post(row.one("form").attributes["action"]).status_code == 303
    row = the_row(see(house, "descale"))
    assert "Added." in row.text
    assert not list(row.every("form"))


def test_a_catalogue_without_groups_stands_open_under_one_title(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(house.app.state.context.library, "groups", lambda: ())
    [group] = groups(see(house))
    assert "More steps" in group.one("summary").text
    assert "open" in group.attributes
    assert len(titles(group)) == 49


def test_a_longer_word_than_anybody_types_is_refused(house: House) -> None:
    assert house.http.get("/catalogue", params={"q": "a" * 101}).status_code == 422
