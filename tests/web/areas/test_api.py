"""The JSON of the areas, their week and the weeks to come."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.areas.house import ROOMS, first_listed, get, set_up

if TYPE_CHECKING:
    from web.house import House

AREAS_KEYS = {
    "areas", "mode", "minutes_a_week", "way", "spot_minutes", "area_days", "declutter_weeks", "this_week",
    "undo",
}  # fmt: skip
AREA_KEYS = {
    "area", "name", "number", "rooms", "minutes", "detail", "declutter", "suggestions", "visits", "weeks",
    "remarks", "next_turn", "cautions", "sort_first",
}  # fmt: skip
WEEK_KEYS = {
    "week", "name", "last", "today", "kind", "text", "list", "way", "areas", "spot", "done_minutes", "days",
    "minutes", "why", "offers",
}  # fmt: skip
LISTS = ("detail", "declutter", "suggestions")
TASK_BODY = ("task", "title", "minutes", "every_days", "source", "caution")


def sent(house: House, method: str, path: str, status: int = 200, **body: Any) -> dict[str, Any]:  # noqa: ANN401
    """What an address answers to a body."""
    answer = house.http.request(method, path, json=body)
    assert answer.status_code == status, answer.text
    return dict(answer.json())


def problem(house: House, method: str, path: str, status: int, **body: Any) -> str:  # noqa: ANN401
    """The detail of the problem it answers with."""
    answer = house.http.request(method, path, json=body)
    assert (answer.status_code, answer.headers["content-type"]) == (status, "application/problem+json")
    return str(answer.json()["detail"])


def body_of(area: dict[str, Any]) -> dict[str, Any]:
    """An area as it is put back."""
    lists = {which: [{key: task[key] for key in TASK_BODY} for task in area[which]] for which in LISTS}
    return {key: area[key] for key in ("area", "name", "rooms")} | lists


def test_before_the_set_up_the_areas_are_empty_and_their_week_is_not_there(house: House) -> None:
    found = get(house, "/api/areas")
    assert set(found) == AREAS_KEYS
    assert (found["areas"], found["undo"]) == ([], None)
    for path in ("/api/area-week", "/api/rotation", "/api/areas/kitchen"):
        assert house.http.get(path).status_code == 404


def test_areas_and_their_week_have_their_fields(house: House) -> None:
    set_up(house)
    (first, *_) = get(house, "/api/areas")["areas"]
    assert set(first) == AREA_KEYS
    assert first == get(house, f"/api/areas/{first['area']}")
    assert set(get(house, "/api/area-week")) == WEEK_KEYS


def test_a_proposal_can_be_put_as_it_is(house: House) -> None:
    proposal = sent(house, "POST", "/api/areas/proposal", rooms=ROOMS)
    areas = [
        {key: area[key] for key in ("name", "rooms", "detail", "declutter")} for area in proposal["areas"]
    ]
    found = sent(house, "PUT", "/api/areas", areas=areas)
    assert [area["minutes"] for area in found["areas"]] == [area["minutes"] for area in proposal["areas"]]


def test_the_areas_can_be_put_back_as_they_are(house: House) -> None:
    set_up(house)
    house.http.put(f"/api/days/{house.today}/tasks/{first_listed(house)}")
    week, areas = get(house, "/api/area-week"), get(house, "/api/areas")["areas"]
    assert sent(house, "PUT", "/api/areas", areas=[body_of(area) for area in areas])["areas"] == areas
    assert get(house, "/api/area-week") == week


def test_a_whole_home_of_twelve_areas_with_sixty_tasks_can_be_put(house: House) -> None:
    tasks = [{"title": f"A task with a name of some length, {number}", "minutes": 5} for number in range(60)]
    areas = [{"name": f"Area {number}", "detail": tasks, "declutter": tasks} for number in range(12)]
    assert len(sent(house, "PUT", "/api/areas", areas=areas)["areas"]) == 12


@pytest.mark.parametrize(
    ("areas", "said"),
    [
        ([], "There is no area. A home has 1 to 12: add one."),
        ([{"name": f"Area {number}"} for number in range(13)], "These are 13 areas."),
        (
            [{"name": "A", "detail": [{"title": "Dust", "minutes": 0}]}],
            "“Dust” needs 1 to 1440 minutes, not 0.",
        ),
        ([{"name": "A", "detail": [{"title": "Dust", "minutes": 2000}]}], "1 to 1440 minutes, not 2000."),
        ([{"name": "A", "detail": [{"title": "Dust", "minutes": 5, "every_days": 0}]}], "not every 0."),
        ([{"name": " "}], "An area has no name."),
    ],
)
def test_what_no_home_is_divided_into_is_refused_and_nothing_is_lost(
    house: House, areas: list[dict[str, Any]], said: str
) -> None:
    set_up(house)
    before = get(house, "/api/areas")
    assert said in problem(house, "PUT", "/api/areas", 422, areas=areas)
    assert get(house, "/api/areas") == before


def test_every_fault_of_a_division_is_named_at_once(house: House) -> None:
    tasks = [{"title": "Dust", "minutes": 0}, {"title": "Mop", "minutes": 2000}]
    said = problem(house, "PUT", "/api/areas", 422, areas=[{"name": "", "detail": tasks}])
    assert all(part in said for part in ("no name", "“Dust”", "“Mop”"))


def test_a_set_up_home_is_not_set_up_again(house: House) -> None:
    set_up(house)
    assert "divided into areas already" in problem(house, "POST", "/api/areas/set-up", 409, rooms=["Bath"])


def test_changes_answer_with_what_then_stands_and_are_taken_back(house: House) -> None:
    set_up(house)
    before = get(house, "/api/areas")
    changed = sent(house, "PATCH", "/api/areas/kitchen", name="Cooking", position=0)
    assert (changed["areas"][0]["name"], changed["undo"]) == ("Cooking", "Renamed Kitchen to Cooking")
    assert get(house, "/api/areas") == changed
    assert house.http.post("/api/areas/undo").json() == before


def test_tasks_are_marked_for_the_last_days_only(house: House) -> None:
    set_up(house)
    task = first_listed(house)
    house.sleep(9)
    old = f"/api/days/{house.today.replace(day=4)}/tasks/{task}"
    assert "Tasks can be marked for today" in problem(house, "PUT", old, 409)
    found = house.http.put(f"/api/days/{house.today}/tasks/{task}", json={"request_id": "a"}).json()
    assert found["done_minutes"] > 0
    assert house.http.delete(f"/api/days/{house.today}/tasks/{task}").json()["done_minutes"] == 0
    again = house.http.put(f"/api/days/{house.today}/tasks/{task}", json={"request_id": "a"}).json()
    assert again == found
    assert get(house, "/api/area-week")["done_minutes"] == 0
    assert "no task “t0”" in problem(house, "PUT", f"/api/days/{house.today}/tasks/t0", 404)


def test_the_weeks_asked_for_are_those_given(house: House) -> None:
    set_up(house)
    assert len(get(house, "/api/rotation")["weeks"]) == 12
    weeks = get(house, "/api/rotation?weeks=60")["weeks"]
    assert [week["name"] for week in weeks][::52] == ["2027-W01", "2028-W01"]
    assert house.http.get("/api/rotation?weeks=0").status_code == 422


def test_skips_swaps_and_declutter_weeks_show_in_the_rotation(house: House) -> None:
    set_up(house)
    assert sent(house, "POST", "/api/rotation/skip", week="2027-01-13")["weeks"][1]["kind"] == "skipped"
    swapped = sent(house, "POST", "/api/rotation/swap", week="2027-01-04", other="2027-01-18")["weeks"]
    assert [week["areas"][0]["name"] for week in (swapped[0], swapped[2])] == ["Living room", "Hall"]
    decluttered = sent(house, "POST", "/api/rotation/declutter", weeks=2)["weeks"]
    assert [week["declutter"] for week in decluttered[:3]] == [True, True, False]
    assert get(house, "/api/area-week")["list"] == "declutter"


def test_a_week_that_is_over_cannot_be_skipped(house: House) -> None:
    set_up(house)
    assert "lies in no week" in problem(house, "POST", "/api/rotation/skip", 404, week="2026-12-31")


def test_an_import_of_the_log_leaves_the_areas_as_they_are(house: House) -> None:
    set_up(house)
    house.http.put(f"/api/days/{house.today}/tasks/{first_listed(house)}")
    before = get(house, "/api/areas"), get(house, "/api/area-week")
    log = house.http.get("/api/log.csv").text
    answer = house.http.post("/api/log.csv", content=log, headers={"content-type": "text/csv"})
    assert answer.status_code == 200
    assert (get(house, "/api/areas"), get(house, "/api/area-week")) == before
