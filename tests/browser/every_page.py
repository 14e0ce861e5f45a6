"""Every page there is, with Tern Street living behind it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from web.house import House

FIXED = (
    "/today", "/days", "/month", "/path", "/catalogue", "/new-step", "/away", "/settings", "/data", "/more",
    "/home", "/rescue", "/trust", "/questions", "/devices", "/people", "/pair", "/reminders", "/calendar",
    "/passkeys", "/sign-in", "/recovery", "/path/what-if",
    "/week", "/areas", "/areas/week", "/areas/weeks", "/dinner", "/dinner/favourites", "/shopping", "/desk",
    "/problems/not-started", "/nowhere", "/sheet", "/cards", "/cards?per_page=2", "/sheet/2027-W04/enter",
    "/courses/three-weeks/booklet",
)  # fmt: skip


def every_page(house: House) -> list[str]:
    """The addresses of all pages of a house that has everything: those with a name, and one of each kind."""
    return [
        *FIXED,
        *_of_habits(house),
        *_of_the_week(house),
        *_of_the_areas(house),
        *_of_the_desk(house),
        *_of_the_handover(house),
    ]


def _of_habits(house: House) -> list[str]:
    states = {step["state"]: step["step"] for step in _get(house, "/api/path")["steps"]}
    return [f"/steps/{step}" for step in states.values()] + [
        f"/days/{_days_ago(house, ago)}" for ago in (1, 30)
    ]


def _days_ago(house: House, days: int) -> str:
    house.sleep(-days)
    on = str(house.today)
    house.sleep(days)
    return on


def _of_the_week(house: House) -> list[str]:
    week = _get(house, "/api/week")
    jobs = [job["step"] for day in week["days"] for job in day["jobs"]]
    name = str(week["week"])
    return [f"/week/{name}/balance", f"/jobs/{jobs[0]}", f"/jobs/{jobs[0]}/lines"]


def _of_the_areas(house: House) -> list[str]:
    area = _get(house, "/api/areas")["areas"][1]
    place = f"/areas/{area['area']}"
    return [place, f"{place}/split", f"{place}/tasks/{area['detail'][0]['task']}"]


def _of_the_desk(house: House) -> list[str]:
    due = _get(house, "/api/dues")["dues"][0]["id"]
    todo = _get(house, "/api/to-dos")["open"][0]["id"]
    line = house.http.post("/api/shopping/lines", json={"lines": ["soap"]}).json()
    soap = next(item["written"][0]["id"] for item in line["to_buy"] if item["key"] == "soap")
    return [
        f"/desk/dues/{due}",
        f"/desk/to-dos/{todo}",
        "/quick?line=renew+card+fri",
        f"/shopping/lines/{soap}",
    ]


def _of_the_handover(house: House) -> list[str]:
    page = {"title": "When something happens", "markdown": "# First\n\n- Call: ____", "whom": ["stand-in"]}
    found = house.http.post("/api/handover/pages", json=page).json()["page"]
    house.http.post("/api/handover/pages", json=page | {"title": "Bins"})
    place = f"/handover/pages/{found}"
    return [
        "/handover",
        "/handover?q=nowhere",
        "/handover?whom=stand-in",
        "/handover/new?starter=health",
        place,
        f"{place}/edit",
        f"{place}/delete",
    ]


def _get(house: House, path: str) -> Any:  # noqa: ANN401  any JSON
    answer = house.http.get(path)
    assert answer.status_code == 200, answer.text
    return answer.json()
