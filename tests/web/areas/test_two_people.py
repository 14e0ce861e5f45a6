"""Two people at one form of the areas: what one changed is kept, what both changed is asked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from unittest.mock import patch

import pytest

from coach.errors import Outdated
from coach.ground import writing
from web.areas.forms import Sent, filled, form_with, standing
from web.areas.house import get, set_up
from web.forms import see, send
from web.markup import Element, read

if TYPE_CHECKING:
    from web.house import House


@dataclass(frozen=True)
class Place:
    """A form: the page it is on, where it goes, one of its fields, and a field that nobody else changes."""

    page: str
    action: str
    field: str
    aside: str | None = None

    def held(self, house: House) -> Sent:
        """What it holds now."""
        return filled(form_with(see(house, self.page), self.field))


ARRANGE = Place("/areas", "/areas/arrange", "mode", "spot_minutes")
TASK = Place("/areas/hall/tasks/t1", "/areas/hall/tasks/t1", "title", "minutes")
NAME = Place("/areas/kitchen", "/areas/kitchen", "name")


@pytest.fixture
def home(house: House) -> House:
    """A house with its areas; t1 is the first task of its hall."""
    return set_up(house)


def clash(house: House, place: Place, sent: Sent) -> Element:
    """The page that asks which of two texts it is to be."""
    answer = house.http.post(place.action, data=sent)
    assert answer.status_code == 409, answer.text
    return read(answer.text)


@pytest.mark.parametrize(
    ("place", "theirs", "mine"),
    [
        (ARRANGE, {"minutes_a_week": "45"}, {"area_days": ["TU", "SA"]}),
        (ARRANGE, {"mode": "month", "area_days": []}, {"way": "both", "spot_minutes": "5"}),
        (TASK, {"title": "Look at the alarm"}, {"minutes": "7", "every_days": ""}),
        (TASK, {"area": "kitchen"}, {"title": "Look at the alarm"}),
        (TASK, {"position": "3"}, {"minutes": "7"}),
    ],
)
def test_what_only_one_has_changed_is_kept(home: House, place: Place, theirs: Sent, mine: Sent) -> None:
    ours = place.held(home)
    send(home, place.action, **(ours | theirs))
    send(home, place.action, **(ours | mine))
    kept = place.held(home)
    assert {name: kept[name] for name in theirs | mine} == theirs | mine


def test_a_new_beginning_is_kept_by_who_only_changes_the_minutes(home: House) -> None:
    ours = ARRANGE.held(home)
    send(home, ARRANGE.action, **(ours | {"first": "kitchen"}))
    send(home, ARRANGE.action, **(ours | {"minutes_a_week": "45"}))
    found = get(home, "/api/areas")
    assert (found["this_week"], found["minutes_a_week"]) == (["kitchen"], 45)


@pytest.mark.parametrize(
    ("place", "field", "theirs", "mine", "said"),
    [
        (ARRANGE, "minutes_a_week", "45", "50", ["45", "50"]),
        (ARRANGE, "way", "spot", "both", ["One short task a day", "The list, and a short task a day"]),
        (ARRANGE, "area_days", ["MO", "TU"], ["WE"], ["Monday, Tuesday", "Wednesday"]),
        (TASK, "title", "Look up", "Look around", ["Look up", "Look around"]),
        (TASK, "every_days", "9", "", ["9", "nothing"]),
        (NAME, "name", "Galley", "Cooking", ["Galley", "Cooking"]),
    ],
)
def test_what_both_have_changed_is_asked_and_nothing_typed_is_lost(
    home: House, place: Place, field: str, theirs: str, mine: str, said: list[str]
) -> None:
    ours = place.held(home)
    also = {place.aside: "9"} if place.aside else {}
    send(home, place.action, **(ours | {field: theirs}))
    before = standing(home)
    page = clash(home, place, ours | also | {field: mine})
    assert [one.text for one in page.one("fieldset", "both").every("dd")] == said
    shown = filled(form_with(page, "take"))
    assert {name: shown[name] for name in {field: mine} | also} == {field: mine} | also
    assert standing(home) == before
    send(home, place.action, **(shown | {"take": [field]}))
    kept = place.held(home)
    assert {name: kept[name] for name in {field: theirs} | also} == {field: theirs} | also
    # Chosen the other way, out of the same answer: nobody has changed it since.
    send(home, place.action, **(shown | {"take": []}))
    assert place.held(home)[field] == mine


def test_of_two_new_homes_for_a_task_one_is_chosen(home: House) -> None:
    ours = TASK.held(home)
    send(home, TASK.action, **(ours | {"area": "kitchen"}))
    page = clash(home, TASK, ours | {"area": "study"})
    both = page.one("fieldset", "both")
    assert [one.text for one in both.every("strong")] == ["Area"]
    assert [one.text for one in both.every("dd")] == ["Kitchen", "Study"]
    form = form_with(page, "take")
    assert send(home, form.attributes["action"], **filled(form)) == "/areas/study?said=area-changed"
    assert get(home, "/api/tasks/t1")["area"] == "study"


@pytest.mark.parametrize(("mine", "said"), [("study", "Study"), ("hall", "Hall")])
@pytest.mark.parametrize("take", [True, False])
def test_of_two_new_beginnings_one_is_chosen(home: House, take: bool, mine: str, said: str) -> None:  # noqa: FBT001
    ours = ARRANGE.held(home)
    send(home, ARRANGE.action, **(ours | {"first": "kitchen"}))
    page = clash(home, ARRANGE, ours | {"first": mine})
    assert [one.text for one in page.one("fieldset", "both").every("dd")] == ["Kitchen", said]
    shown = filled(form_with(page, "take"))
    assert shown["first"] == mine
    send(home, ARRANGE.action, **(shown | ({"take": ["first"]} if take else {})))
    assert get(home, "/api/areas")["this_week"] == ["kitchen" if take else mine]


def test_a_second_tap_on_a_new_beginning_begins_once(home: House) -> None:
    sent = ARRANGE.held(home) | {"first": "kitchen"}
    first, after = send(home, ARRANGE.action, **sent), standing(home)
    assert send(home, ARRANGE.action, **sent) == first
    assert standing(home) == after
    send(home, "/areas/undo")
    assert get(home, "/api/areas")["undo"] == "Divided the home into 6 areas"


def test_what_cannot_be_read_is_asked_again_and_still_undoes_nothing(home: House) -> None:
    ours = ARRANGE.held(home)
    send(home, ARRANGE.action, **(ours | {"way": "both"}))
    wrong = home.http.post(ARRANGE.action, data=ours | {"minutes_a_week": "few"})
    again = filled(form_with(read(wrong.text), "mode"))
    send(home, ARRANGE.action, **(again | {"minutes_a_week": "45"}))
    kept = ARRANGE.held(home)
    assert (kept["way"], kept["minutes_a_week"]) == ("both", "45")


@pytest.mark.parametrize(
    ("place", "gone", "sent", "typed"),
    [
        (ARRANGE, "/areas/undo", {"minutes_a_week": "47"}, ["Minutes a week “47”", "Minutes fall on"]),
        (TASK, "/areas/hall/tasks/t1/remove", {"title": "Look up"}, ["What is to be done “Look up”"]),
        (TASK, "/areas/hall/remove", {"title": "Look up"}, ["What is to be done “Look up”"]),
        (NAME, "/areas/kitchen/remove", {"name": "Galley"}, ["Name “Galley”"]),
        (
            Place("/areas/kitchen", "/areas/kitchen/rooms", "room"),
            "/areas/kitchen/remove",
            {"room": "Larder"},
            ["One more room “Larder”"],
        ),
        (
            Place("/areas/kitchen", "/areas/kitchen/tasks", "list"),
            "/areas/kitchen/remove",
            {"title": "Oven door", "minutes": "12"},
            ["What is to be done “Oven door”", "Minutes “12”"],
        ),
        (
            Place("/areas/kitchen/split", "/areas/kitchen/split", "task"),
            "/areas/kitchen/remove",
            {"name": "Larder", "task": ["t20"]},
            ["Name of the new area “Larder”"],
        ),
    ],
)
def test_what_is_gone_is_said_with_what_was_typed(
    home: House, place: Place, gone: str, sent: Sent, typed: list[str]
) -> None:
    ours = place.held(home)
    send(home, gone)
    before = standing(home)
    answer = home.http.post(place.action, data=ours | sent)
    assert answer.status_code == 404
    text = read(answer.text).text
    assert all(one.lower() in text.lower() for one in typed), text
    assert standing(home) == before


def test_a_task_cannot_go_to_an_area_that_is_gone_and_is_asked_again(home: House) -> None:
    ours = TASK.held(home)
    send(home, "/areas/study/remove")
    answer = home.http.post(TASK.action, data=ours | {"area": "study", "title": "Look up"})
    page = read(answer.text)
    assert (answer.status_code, page.one(id="trouble").text) == (404, "There is no area “study”.")
    shown = filled(form_with(page, "title"))
    assert (shown["title"], shown["area"]) == ("Look up", "hall")
    assert TASK.held(home)["title"] == ours["title"]


def test_one_merges_areas_while_the_other_renames_them(home: House) -> None:
    ours, theirs = (Place(page, page, "name") for page in ("/areas/study", "/areas/hall"))
    study, hall = ours.held(home), theirs.held(home)
    send(home, "/areas/hall/merge", other="study")
    send(home, "/areas/hall", **(hall | {"name": "Front"}))
    assert get(home, "/api/areas/hall")["name"] == "Front"
    before = standing(home)
    answer = home.http.post("/areas/study", data=study | {"name": "Den"})
    assert answer.status_code == 404
    assert "You typed: Name “Den”." in read(answer.text).text
    assert standing(home) == before


@pytest.mark.parametrize("place", [ARRANGE, TASK, NAME])
def test_while_others_keep_changing_it_what_was_typed_stays_in_the_form(home: House, place: Place) -> None:
    sent = place.held(home)
    field = place.aside or place.field
    sent[field] = "47"
    with patch.object(writing, "_put", side_effect=Outdated("Somebody was faster.")):
        answer = home.http.post(place.action, data=sent)
    page = read(answer.text)
    assert (answer.status_code, filled(form_with(page, place.field))) == (409, sent)
    assert "Others are changing this at the moment" in page.one(id="trouble").text
    send(home, place.action, **filled(form_with(page, place.field)))
    assert place.held(home)[field] == "47"
