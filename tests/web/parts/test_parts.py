"""A step says which part of the home plan it works in: the page opens with it, and its line leads there."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.forms import see, send
from web.parts.house import STEPS, areas, own_house
from web.test_places import bar

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from web.house import House
    from web.markup import Element

PAGES = {
    "q2": "/areas/week",
    "q3": "/dinner",
    "q4": "/desk",
    "q5": "/desk#errands-title",
    "q6": "/areas/week",
}


@pytest.fixture
def home(tmp_path: Path) -> Iterator[House]:
    house = own_house(tmp_path)
    yield house
    house.close()


def targets(page: Element) -> list[str]:
    return [link.attributes["href"] for link in page.every("a")]


def line_of(house: House, step: str) -> Element:
    return next(see(house, "/today").every("li", id=f"line-{step}"))


@pytest.mark.parametrize(
    ("steps", "places", "pages"),
    [
        (("q3",), ["Today", "Home", "Path", "Away", "More"], {"/dinner"}),
        (("q5",), ["Today", "Week", "Home", "Path", "More"], {"/desk"}),
        (("q2", "q4"), ["Today", "Week", "Home", "Path", "More"], {"/areas", "/desk"}),
    ],
)
def test_the_pages_open_with_the_steps_whatever_they_are_called(
    tmp_path: Path, steps: tuple[str, ...], places: list[str], pages: set[str]
) -> None:
    house = own_house(tmp_path, *steps)
    assert bar(house.http.get("/today").text) == places
    opened = set(targets(see(house, "/home"))) & {"/areas", "/dinner", "/desk"}
    house.close()
    assert opened == pages


def test_a_step_of_the_households_own_opens_its_page_by_json_and_by_its_form(house: House) -> None:
    own = {"title": "Stew day", "works_in": "dinner", "waits": False, "step": "s1"}
    assert house.http.post("/api/steps", json=own).json()["works_in"] == "dinner"
    form = {"title": "Till slips", "minutes": "5", "slot": "anytime", "repeat": "daily", "works_in": "desk"}
    assert send(house, "/new-step", **form).startswith("/steps/till-slips")
    assert "Home" not in bar(house.http.get("/today").text)
    for step in ("s1", "till-slips"):
        house.mark(step)
    assert {"/dinner", "/desk"} <= set(targets(see(house, "/home")))
    wrong = house.http.post("/api/steps", json=own | {"step": "s2", "works_in": "attic"})
    assert wrong.status_code == 422


def test_a_step_of_every_so_many_days_opens_no_week_however_its_rule_is_put(house: House) -> None:
    for step, rule in (("airing", "INTERVAL=2;FREQ=DAILY"), ("windows", "INTERVAL=2;FREQ=WEEKLY")):
        assert house.http.post("/api/steps", json={"step": step, "title": step, "repeats": rule}).is_success
        house.mark(step)
        is_open = "Week" in bar(house.http.get("/today").text)
        assert is_open is (step == "windows")


@pytest.mark.parametrize("step", PAGES)
def test_its_line_on_today_and_its_own_page_lead_to_that_page(home: House, step: str) -> None:
    areas(home)
    assert PAGES[step] in targets(line_of(home, step))
    assert PAGES[step] in targets(see(home, f"/steps/{step}"))


def test_a_step_that_works_nowhere_leads_nowhere_but_to_itself(home: House) -> None:
    assert targets(line_of(home, "q1")) == ["/steps/q1"]
    assert targets(line_of(home, "q7")) == ["/jobs/q7", "/steps/q7"]


def test_the_week_leads_there_too(home: House) -> None:
    areas(home)
    assert set(PAGES.values()) <= set(targets(see(home, "/week")))


def test_a_step_on_two_days_of_the_week_is_no_job_and_its_days_are_changed_on_its_page(home: House) -> None:
    areas(home)
    week = see(home, "/week")
    assert "every Monday and Thursday" in week.text
    assert "/jobs/q2" not in targets(week)
    assert "/steps/q2#change-title" in targets(week)
    assert next(see(home, "/steps/q2").every("h2", id="change-title"), None) is not None
    send(home, "/steps/q2/adjust", repeat="weekly", weekdays=["TU", "FR"])
    assert "every Tuesday and Friday" in see(home, "/week").text
    assert "own page" in home.http.get("/api/jobs/q2").json()["detail"]


def test_before_the_rooms_are_picked_the_area_step_leads_to_them_and_says_why(home: House) -> None:
    for path in ("/areas/week", "/areas/weeks"):
        answer = home.http.get(path)
        assert (answer.status_code, answer.headers["location"]) == (303, "/areas")
    why = "works through your home part by part, so the rooms come first"
    for path in ("/areas", "/today", "/week", "/steps/q2", "/jobs/q6"):
        page = see(home, path)
        assert why in page.text, path
        assert path == "/areas" or "/areas" in targets(page), path
    areas(home)
    for path in ("/areas", "/areas/week", "/today", "/week", "/steps/q2", "/jobs/q6"):
        assert why not in see(home, path).text, path


def test_nobody_is_told_of_rooms_whose_course_has_no_step_for_them(tmp_path: Path) -> None:
    house = own_house(tmp_path, "q3")
    page = see(house, "/areas")
    house.close()
    assert "part by part" not in page.text


def test_a_job_without_lines_shows_the_list_of_the_desk(home: House) -> None:
    due = {"name": "Water", "on": str(home.today), "repeats": None, "needs": 3}
    home.http.post("/api/dues", json=due)
    home.http.post("/api/to-dos", json={"titles": ["Hang the mirror"], "kind": "put-off"})
    page = see(home, "/jobs/q4")
    assert "Water" in page.text
    assert "Hang the mirror" in page.text
    [form] = [one for one in page.every("form") if "/desk/dues/" in one.attributes["action"]]
    fields = {one.attributes["name"]: one.attributes["value"] for one in form.every("input")}
    assert send(home, form.attributes["action"], **fields).startswith("/jobs/q4?said=")
    assert "Nothing is due" in see(home, "/jobs/q4").text


def test_a_job_of_the_areas_shows_this_weeks_tasks_and_ticks_them_there(home: House) -> None:
    first, *_ = areas(home)
    page = see(home, "/jobs/q6")
    [form] = [
        one for one in page.every("form") if one.attributes["action"].endswith(f"/area/{first['task']}")
    ]
    fields = {one.attributes["name"]: one.attributes["value"] for one in form.every("input")}
    assert send(home, form.attributes["action"], **fields, mark="done") == "/jobs/q6"
    assert home.http.get("/api/area-week").json()["done_minutes"] == first["minutes"]


def test_todays_page_counts_the_minutes_of_the_list_as_the_page_of_the_area_does(home: House) -> None:
    first, *_ = areas(home)
    home.http.put(f"/api/days/{home.today}/tasks/{first['task']}", json={})
    for path in ("/today", "/jobs/q6"):
        assert "area: 10 of 30 minutes finished" in see(home, path).text, path
    assert "10 of 30 minutes finished." in see(home, "/areas/week").text


def test_a_job_of_errands_shows_them_by_place(home: House) -> None:
    home.http.post("/api/to-dos", json={"titles": ["stamps"], "kind": "errand", "place": "Post office"})
    page = see(home, "/jobs/q5").text
    assert "Post office" in page
    assert "stamps" in page


def test_a_weekly_step_of_dinner_shows_what_is_planned(home: House) -> None:
    own = {"title": "Plan dinners", "works_in": "dinner", "waits": False, "step": "s1"}
    home.http.post("/api/steps", json=own | {"repeats": "FREQ=WEEKLY;BYDAY=MO"})
    home.http.put(f"/api/dinners/{home.today}", json={"dish": "Lentils"})
    page = see(home, "/jobs/s1")
    assert "Lentils" in page.text
    assert "/dinner" in targets(page)


def test_a_job_with_lines_shows_them_and_below_them_what_it_is_about(home: House) -> None:
    home.http.put("/api/jobs/q4/lines", json={"lines": [{"title": "Open the post", "minutes": 5}]})
    text = see(home, "/jobs/q4").text
    assert text.index("Open the post") < text.index("To see to")


def test_a_job_that_works_nowhere_shows_its_lines_alone(home: House) -> None:
    assert "To see to" not in see(home, "/jobs/q7").text
    assert home.http.get("/api/jobs/q7").json()["works_in"] is None


def test_json_says_where_a_step_works(home: House) -> None:
    lines = {line["step"]: line["works_in"] for line in home.day()["checklist"]}
    assert {step: lines[step] for step in STEPS} == {
        "q2": "areas", "q3": "dinner", "q4": "desk", "q5": "errands", "q6": "areas", "q7": None,
    }  # fmt: skip
    today = next(day for day in home.http.get("/api/week").json()["days"] if day["today"])
    assert {job["step"]: job["works_in"] for job in today["jobs"]}["q5"] == "errands"
    [both] = [one for one in today["habits"] if one["step"] == "q2"]
    assert both["days_text"] == "every Monday and Thursday"
