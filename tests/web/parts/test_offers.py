"""Where what a step is about is done, its mark is offered there, whatever the course and its ids."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest

from web.forms import see, send
from web.parts.house import areas, own_house, tick

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from web.house import House
    from web.markup import Element


@pytest.fixture
def home(tmp_path: Path) -> Iterator[House]:
    house = own_house(tmp_path, "q2", "q3", "q4", "q5", "q7")
    yield house
    house.close()


def offers(page: Element) -> list[Element]:
    return list(page.every("form", "mark-offer"))


def offered(house: House, path: str) -> list[str]:
    """The steps whose marks a page offers."""
    page = see(house, path)
    # On today's page the line itself says so, beside the button it has anyway.
    lines = [line.attributes["id"].removeprefix("line-") for line in page.every("li", "ready")]
    return lines + [form.attributes["action"].rpartition("/")[2] for form in offers(page)]


def take(house: House, path: str) -> str:
    """Take the only offer of a page, as a browser without JavaScript would; the page that comes next."""
    [form] = offers(see(house, path))
    sent = {one.attributes["name"]: one.attributes["value"] for one in form.every("input")}
    [button] = form.every("button")
    return send(
        house, form.attributes["action"], **sent, **{button.attributes["name"]: button.attributes["value"]}
    )


def marks(house: House) -> dict[str, Any]:
    return {line["step"]: line["mark"] for line in house.day()["checklist"]}


def an_offer(house: House, step: str, title: str, text: str) -> dict[str, str]:
    return {"step": step, "title": title, "on": str(house.today), "text": text}


def test_tasks_worth_the_minutes_offer_the_area_step(home: House) -> None:
    first, second, _ = areas(home)
    assert tick(home, first)["offers"] is None
    assert offered(home, "/areas/week") == []
    found = tick(home, second)["offers"]
    assert found == an_offer(home, "q2", "Sweep about", "20 minutes are finished.")
    assert marks(home)["q2"] is None
    assert take(home, "/areas/week") == "/areas/week?said=kept"
    assert marks(home)["q2"] == "kept"
    assert offered(home, "/areas/week") == []


def test_minutes_of_another_day_are_not_counted_and_a_tick_taken_back_takes_the_offer_back(
    home: House,
) -> None:
    first, second, third = areas(home)
    yesterday = home.today - timedelta(days=1)
    home.http.put(f"/api/days/{yesterday}/tasks/{third['task']}")
    tick(home, first)
    assert offered(home, "/areas/week") == []
    tick(home, second)
    assert offered(home, "/areas/week") == ["q2"]
    assert home.http.delete(f"/api/days/{home.today}/tasks/{second['task']}").json()["offers"] is None


def test_the_offer_comes_with_a_tap_and_with_the_list_that_htmx_swaps(home: House) -> None:
    first, second, _ = areas(home)
    tick(home, first)
    form = {"on": str(home.today), "mark": "done"}
    address = f"/areas/week/tasks/{second['task']}"
    answer = home.http.post(address, data=form, headers={"hx-request": "true"})
    assert 'class="mark-offer"' in answer.text
    assert "can be marked as kept" in answer.text


def test_todays_line_says_it_too_and_a_tick_comes_back_to_it(home: House) -> None:
    for task in areas(home)[:2]:
        assert (
            send(home, f"/today/area/{task['task']}", on=str(home.today), mark="done") == "/today#held-areas"
        )
    assert offered(home, "/today") == ["q2"]
    assert "20 minutes are finished." in next(see(home, "/today").every("li", id="line-q2")).text
    home.mark("q2")
    assert offered(home, "/today") == []


def test_two_steps_of_the_areas_each_need_minutes_of_their_own(home: House) -> None:
    home.http.post("/api/steps", json={"step": "z9", "title": "Dab", "minutes": 10, "works_in": "areas"})
    home.mark("z9")
    home.sleep()  # a Tuesday: the first is still open from Monday
    first, second, third = areas(home)
    tick(home, first)
    assert tick(home, second)["offers"]["step"] == "q2"
    home.mark("q2")
    assert tick(home, second)["offers"] is None
    assert tick(home, third)["offers"]["step"] == "z9"


def test_a_dinner_decided_offers_its_step_on_both_pages(home: House) -> None:
    assert offered(home, "/today") == []
    assert send(home, f"/dinner/{home.today}/dish", dish="Lentils").startswith("/today")
    assert offered(home, "/today") == offered(home, "/dinner") == ["q3"]
    assert take(home, "/dinner") == "/dinner?said=kept"
    assert marks(home)["q3"] == "kept"
    assert offered(home, "/today") == offered(home, "/dinner") == []


def test_a_dinner_put_by_a_program_is_answered_with_the_offer_and_another_day_with_none(home: House) -> None:
    found = home.http.put(f"/api/dinners/{home.today}", json={"dish": "Lentils"}).json()
    assert found["offers"] == an_offer(home, "q3", "Name the soup", "Today's dinner is decided.")
    tomorrow = home.today + timedelta(days=1)
    assert home.http.put(f"/api/dinners/{tomorrow}", json={"dish": "Rice"}).json()["offers"] is None


def test_the_last_line_of_a_job_offers_its_mark_on_its_page_and_today(home: House) -> None:
    assert home.http.put("/api/jobs/q7/ticks/1", json={}).json()["offers"] is None
    found = home.http.put("/api/jobs/q7/ticks/2", json={}).json()
    assert found["offers"] == an_offer(home, "q7", "Boxes", "Every line is finished.")
    assert offered(home, "/today") == ["q7"]
    page = see(home, "/jobs/q7").text
    assert "Every line is finished" in page
    assert "Mark it kept" in page
    assert send(home, f"/jobs/q7/marks/{home.today}", mark="kept") == "/jobs/q7"
    assert offered(home, "/today") == []
    assert home.http.get("/api/jobs/q7").json()["offers"] is None


def test_lines_left_for_the_next_time_alone_offer_nothing(home: House) -> None:
    home.http.put("/api/jobs/q7/ticks/1", json={"state": "later"})
    found = home.http.put("/api/jobs/q7/ticks/2", json={"state": "later"}).json()
    assert found["offers"] is None
    assert (
        home.http.put("/api/jobs/q7/ticks/1", json={})
        .json()["offers"]["text"]
        .startswith("Every line is finished or")
    )


def test_the_last_errand_offers_the_step_that_goes_out(home: House) -> None:
    for title in ("stamps", "keys"):
        home.http.post("/api/to-dos", json={"titles": [title], "kind": "errand"})
    one, other = (
        todo["id"] for place in home.http.get("/api/to-dos").json()["errands"] for todo in place["todos"]
    )
    assert home.http.put(f"/api/to-dos/{one}/done").json()["offers"] is None
    found = home.http.put(f"/api/to-dos/{other}/done").json()["offers"]
    assert found == an_offer(home, "q5", "Round of shops", "Every errand is finished.")
    for path in ("/today", "/desk", "/jobs/q5"):
        assert offered(home, path) == ["q5"], path
    assert take(home, "/jobs/q5") == "/jobs/q5?said=kept"
    assert offered(home, "/desk") == []


def test_an_errand_of_yesterday_offers_nothing(home: House) -> None:
    home.http.post("/api/to-dos", json={"titles": ["stamps"], "kind": "errand"})
    [todo] = home.http.get("/api/to-dos").json()["errands"][0]["todos"]
    home.http.put(f"/api/to-dos/{todo['id']}/done")
    assert offered(home, "/desk") == ["q5"]
    home.sleep()
    assert offered(home, "/desk") == []


def test_nothing_is_offered_of_a_step_that_is_not_open_or_while_away(home: House) -> None:
    home.http.post("/api/steps/q3/set-aside")
    assert home.http.put(f"/api/dinners/{home.today}", json={"dish": "Lentils"}).json()["offers"] is None
    home.http.post("/api/steps/q3/restore")
    home.sleep()
    home.http.post("/api/pause", json={})
    assert home.http.put(f"/api/dinners/{home.today}", json={"dish": "Rice"}).json()["offers"] is None


@pytest.mark.parametrize(
    "back", ["//elsewhere.example", "https://elsewhere.example", "jobs/../x", "settings"]
)
def test_an_offer_leads_back_to_pages_of_ours_alone(home: House, back: str) -> None:
    address = f"/days/{home.today}/marks/q3"
    assert send(home, address, mark="kept", back=back) == "/today?said=kept"
