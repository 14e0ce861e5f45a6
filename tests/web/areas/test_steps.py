"""Steps of the areas: a second tap takes none, and none is taken when what was shown is gone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from web.areas.forms import Sent, filled, form_with, standing
from web.areas.house import ROOMS, get, set_up
from web.forms import send
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Callable

    from web.house import House


@pytest.fixture
def home(house: House) -> House:
    """A house with its areas: a hall, a kitchen, a bathroom with its toilet, bedrooms and more."""
    return set_up(house)


@dataclass(frozen=True)
class Step:
    """A step: its page, where its form goes, a field of it, where it leads, and what is typed."""

    page: str
    action: str
    field: str
    leads: str
    typed: Sent | None = None

    def filled(self, house: House) -> Sent:
        """The form as it would be sent."""
        answer = house.http.get(self.page)
        assert answer.status_code == 200, answer.text
        return filled(form_with(read(answer.text), self.field, self.action)) | (self.typed or {})


BATH = "/areas/bathroom-and-toilet"
STEPS = {
    "earlier": Step("/areas", "/areas/study/place", "to", "/areas", {"to": "earlier"}),
    "later": Step("/areas", "/areas/hall/place", "to", "/areas", {"to": "later"}),
    "new": Step("/areas", "/areas/new", "rooms", "/areas/attic", {"name": " Attic", "rooms": "Attic"}),
    "room": Step(BATH, f"{BATH}/rooms", "room", BATH, {"room": "Shower"}),
    "room out": Step(BATH, f"{BATH}/rooms/remove", "room", BATH, {"room": "Toilet"}),
    "merge": Step(BATH, f"{BATH}/merge", "other", BATH, {"other": "study"}),
    "split": Step(f"{BATH}/split", f"{BATH}/split", "room", "/areas", {"name": "Loo", "room": ["Toilet"]}),
    "remove": Step(BATH, f"{BATH}/remove", "request_id", "/areas"),
    "task": Step(BATH, f"{BATH}/tasks", "list", BATH, {"title": "Mirror", "minutes": "5"}),
    "task out": Step("/areas/hall/tasks/t1", "/areas/hall/tasks/t1/remove", "request_id", "/areas/hall"),
    "undo": Step("/areas", "/areas/undo", "back", "/areas"),
    "undo on the weeks": Step("/areas/weeks", "/areas/undo", "back", "/areas/weeks"),
    "skip": Step("/areas/weeks", "/areas/weeks/skip", "week", "/areas/weeks"),
    "swap": Step("/areas/weeks", "/areas/weeks/swap", "other", "/areas/weeks", {"other": "2027-01-18"}),
    "declutter": Step("/areas/weeks", "/areas/weeks/declutter", "weeks", "/areas/weeks", {"weeks": "3"}),
}


@pytest.mark.parametrize("name", STEPS)
def test_a_second_tap_takes_no_second_step_and_leads_to_the_same(home: House, name: str) -> None:
    step = STEPS[name]
    send(home, "/areas/kitchen", name="Galley")
    send(home, "/areas/kitchen", name="Scullery")
    before, sent = standing(home), step.filled(home)
    first = send(home, step.action, **sent)
    after = standing(home)
    assert after != before
    assert send(home, step.action, **sent) == first
    assert standing(home) == after
    assert first.partition("?")[0] == step.leads
    assert home.http.get(first).status_code == 200


def test_a_second_tap_on_a_proposal_leads_to_the_areas(house: House) -> None:
    proposal = read(house.http.post("/areas/proposal", data={"room": ROOMS}).text)
    sent = filled(form_with(proposal, "request_id")) | {"room": ROOMS}
    first, after = send(house, "/areas/set-up", **sent), standing(house)
    assert send(house, "/areas/set-up", **sent) == first == "/areas?said=divided"
    assert standing(house) == after


@pytest.mark.parametrize("name", ["room", "room out", "merge", "task", "new", "undo on the weeks"])
def test_a_second_tap_after_what_it_changed_is_gone_leads_to_a_page_that_is_there(
    home: House, name: str
) -> None:
    step = STEPS[name]
    sent = step.filled(home)
    first = send(home, step.action, **sent)
    if name == "undo on the weeks":
        set_up(home, ["Kitchen"])
        send(home, "/areas/undo")
    else:
        send(home, f"{first.partition('?')[0]}/remove")
    after = standing(home)
    assert home.http.get(send(home, step.action, **sent)).status_code == 200
    assert standing(home) == after


def test_the_same_step_from_a_page_shown_anew_is_another_one(home: House) -> None:
    step = STEPS["earlier"]
    place = place_of(home, "study")
    for _ in range(2):
        send(home, step.action, **step.filled(home))
    assert place_of(home, "study") == place - 2


def place_of(house: House, area: str) -> int:
    """An area's place in the order."""
    return [one["area"] for one in get(house, "/api/areas")["areas"]].index(area)


def _rename(house: House) -> None:
    send(house, BATH, name="Wet rooms")


def _new_task(house: House) -> None:
    send(house, f"{BATH}/tasks", title="Mirror", minutes="5")


def _swap(house: House) -> None:
    send(house, "/areas/weeks/swap", week="2027-01-04", other="2027-01-11")


def _longer(house: House) -> None:
    send(house, "/areas/hall/tasks/t1", title="Look up", minutes="50", area="hall")


NOT_DONE: dict[str, tuple[str, Callable[[House], None], str]] = {
    "an area removed": ("remove", _new_task, "changed this area since"),
    "a room taken out": ("room out", _new_task, "changed this area since"),
    "an area split": ("split", _new_task, "changed this area since"),
    "a task removed": ("task out", _longer, "changed this task since"),
    "weeks swapped": ("swap", _swap, "weeks have changed since"),
    "a week skipped": ("skip", _swap, "weeks have changed since"),
    "declutter weeks": ("declutter", _swap, "weeks have changed since"),
    "undone": ("undo", _rename, "changed since this page was shown"),
    "undone on the weeks": ("undo on the weeks", _swap, "changed since this page was shown"),
}


@pytest.mark.parametrize("name", NOT_DONE)
def test_a_step_is_not_taken_when_what_it_showed_is_gone_and_can_be_taken_then(
    home: House, name: str
) -> None:
    chosen, meanwhile, said = NOT_DONE[name]
    step = STEPS[chosen]
    sent = step.filled(home)
    meanwhile(home)
    before = standing(home)
    answer = home.http.post(step.action, data=sent)
    page = read(answer.text)
    assert answer.status_code == 409, answer.text
    assert said in page.one(id="trouble").text
    assert standing(home) == before
    again = filled(form_with(page, step.field, step.action)) | (step.typed or {})
    send(home, step.action, **again)
    assert standing(home) != before


@pytest.mark.parametrize("path", ["/areas", "/areas/weeks", "/areas/hall"])
def test_take_it_back_takes_back_what_it_showed_and_shows_what_it_would_take_back_now(
    home: House, path: str
) -> None:
    step = Step(path, "/areas/undo", "back", path)
    _swap(home)
    sent = step.filled(home)
    _rename(home)
    answer = home.http.post("/areas/undo", data=sent)
    assert answer.status_code == 409
    shown = read(answer.text).one("form", "way-back")
    assert "Renamed Bathroom and Toilet to Wet rooms" in shown.text
    send(home, "/areas/undo", **filled(shown))
    assert get(home, "/api/areas")["undo"].startswith("Swapped the turns")


def test_two_changes_of_the_same_words_are_told_apart_by_what_they_bring_back(home: House) -> None:
    for minutes in ("6", "7"):
        send(home, "/areas/hall/tasks/t1", title="Look up", minutes=minutes, area="hall")
    send(home, "/areas/hall/tasks/t1", title="Look up", minutes="6", area="hall")
    sent, said = STEPS["undo"].filled(home), get(home, "/api/areas")["undo"]
    for minutes in ("9", "6"):
        send(home, "/areas/hall/tasks/t1", title="Look up", minutes=minutes, area="hall")
    before = standing(home)
    assert before[0]["undo"] == said
    assert home.http.post("/areas/undo", data=sent).status_code == 409
    assert standing(home) == before


def test_a_mark_made_meanwhile_keeps_nobody_from_taking_back(home: House) -> None:
    sent = STEPS["undo"].filled(home)
    home.http.put(f"/api/days/{home.today}/tasks/t1")
    assert send(home, "/areas/undo", **sent) == "/areas?said=undone"
    assert get(home, "/api/areas")["areas"] == []


def test_an_area_moves_by_one_place_from_wherever_somebody_put_it(home: House) -> None:
    step = STEPS["earlier"]
    sent = step.filled(home)
    send(home, "/areas/study/place", to="earlier")
    before = place_of(home, "study")
    send(home, step.action, **sent)
    assert place_of(home, "study") == before - 1
