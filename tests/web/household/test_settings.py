"""The page of settings: what it changes, it changes together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from web.forms import refused, see, send, values

if TYPE_CHECKING:
    from web.house import House


def test_everything_on_the_page_is_changed_in_one_form(house: House) -> None:
    wanted = {"zone": "Asia/Tokyo", "day_starts": "05:00", "minutes": "40", "week_starts": "sunday"}
    assert send(house, "/settings", **(values(see(house, "/settings")) | wanted)) == "/settings?said=saved"
    assert values(see(house, "/settings")).items() >= wanted.items()


def test_with_one_answer_that_cannot_be_used_nothing_is_changed(house: House) -> None:
    before = values(see(house, "/settings"))
    page = refused(house, "/settings", before | {"zone": "Asia/Tokyo", "week_starts": "friday"})
    assert "Choose monday or sunday" in page.one(id="trouble").text
    assert values(see(house, "/settings")) == before
