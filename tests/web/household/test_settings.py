"""The page of settings: what it changes, it changes together."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.forms import refused, see, send, values

if TYPE_CHECKING:
    from web.house import House


def test_everything_on_the_page_is_changed_in_one_form(house: House) -> None:
    wanted = {"zone": "Asia/Tokyo", "day_starts": "05:00", "minutes": "40"}
    wanted |= {"week_starts": "sunday", "pace": "gentle"}
    assert send(house, "/settings", **(values(see(house, "/settings")) | wanted)) == "/settings?said=saved"
    assert values(see(house, "/settings")).items() >= wanted.items()


def test_with_one_answer_that_cannot_be_used_nothing_is_changed(house: House) -> None:
    before = values(see(house, "/settings"))
    page = refused(house, "/settings", before | {"zone": "Asia/Tokyo", "week_starts": "friday"})
    assert "Choose monday or sunday" in page.one(id="trouble").text
    assert values(see(house, "/settings")) == before


def test_the_pace_is_chosen_with_what_it_means_by_the_numbers_of_the_course(house: House) -> None:
    page = see(house, "/settings")
    cards = [" ".join(card.text.split()) for card in page.every("label", "card")]
    rule, comes = "Most steps settle once they are kept", "With everything kept, a new step about once in"
    assert cards == [
        f"Standard {rule} 3 of the last 4 times. {comes} three days.",
        f"Gentle {rule} 4 of the last 5 times. {comes} four days.",
    ]
    assert "What has settled stays settled." in page.one(id="pace-help").text
    send(house, "/settings", **(values(page) | {"pace": "gentle"}))
    assert values(see(house, "/settings"))["pace"] == "gentle"
    assert house.http.get("/api/log.csv").text.strip().endswith(",pace,,gentle")


def test_without_a_pace_the_one_in_force_stays(house: House) -> None:
    send(house, "/settings", **(values(see(house, "/settings")) | {"pace": "gentle"}))
    send(house, "/settings", zone="UTC", day_starts="03:00", minutes="15")
    assert values(see(house, "/settings"))["pace"] == "gentle"


def test_a_pace_that_the_course_does_not_have_is_refused(house: House) -> None:
    before = values(see(house, "/settings"))
    page = refused(house, "/settings", before | {"minutes": "15", "pace": "fast"})
    assert "There is no pace “fast”. Choose one of: standard, gentle." in page.one(id="trouble").text
    assert values(see(house, "/settings")) == before


def test_a_pace_that_two_people_changed_is_shown_both_ways(house: House) -> None:
    ours = values(see(house, "/settings"))
    send(house, "/settings", **(ours | {"pace": "gentle", "minutes": "15"}))
    # The other one never touched it: what was chosen meanwhile stays.
    send(house, "/settings", **(ours | {"day_starts": "05:00"}))
    kept = values(see(house, "/settings"))
    assert (kept["pace"], kept["minutes"], kept["day_starts"]) == ("gentle", "15", "05:00")


def test_the_pace_as_json(house: House) -> None:
    found = house.http.get("/api/pace").json()
    assert (found["pace"], [[one["pace"], one["kept"], one["of"]] for one in found["paces"]]) == (
        "standard",
        [["standard", 3, 4], ["gentle", 4, 5]],
    )
    said = house.http.put("/api/pace", json={"pace": "gentle"})
    assert (said.status_code, said.json()) == (200, found | {"pace": "gentle"})
    assert house.http.get("/api/pace").json()["pace"] == "gentle"


@pytest.mark.parametrize(
    "body",
    [{}, {"pace": ""}, {"pace": "fast"}, {"pace": None}, {"pace": 1}, {"pace": "gentle", "on": "now"}],
)
def test_a_pace_that_cannot_be_read_is_refused_and_nothing_is_written(
    house: House, body: dict[str, object]
) -> None:
    answer = house.http.put("/api/pace", json=body)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/malformed")
    assert house.http.get("/api/pace").json()["pace"] == "standard"


def test_before_the_start_there_is_no_pace(empty: House) -> None:
    assert empty.http.get("/api/pace").status_code == 409
    assert empty.http.put("/api/pace", json={"pace": "gentle"}).status_code == 409
