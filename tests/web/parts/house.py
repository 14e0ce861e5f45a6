"""A house that follows a coach's own course, whose ids say nothing: it is the second Monday."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from web.house import House

if TYPE_CHECKING:
    from pathlib import Path

COURSE = 'title = "Anyhow"\nramp_days = 60\nlapse_after = 60\n'
FILES = {
    "01-q1": 'title = "Boots in a row"',
    "02-q2": 'title = "Sweep about"\nrepeats = "FREQ=WEEKLY;BYDAY=MO,TH"\nminutes = 20\nworks_in = "areas"',
    "03-q3": 'title = "Name the soup"\nworks_in = "dinner"',
    "04-q4": 'title = "Paper hour"\nrepeats = "FREQ=WEEKLY;BYDAY=MO"\nworks_in = "desk"',
    "05-q5": 'title = "Round of shops"\nrepeats = "FREQ=WEEKLY;BYDAY=MO"\nworks_in = "errands"',
    "06-q6": 'title = "Long sweep"\nrepeats = "FREQ=WEEKLY;BYDAY=MO"\nminutes = 45\nworks_in = "areas"',
    "07-q7": (
        'title = "Boxes"\nrepeats = "FREQ=WEEKLY;BYDAY=MO"\nstop_after = 30\n'
        'lines = [{ title = "Fold", minutes = 5 }, { title = "Carry", minutes = 5 }]'
    ),
}
STEPS = ("q2", "q3", "q4", "q5", "q6", "q7")
DAYS = 7


def lessons(folder: Path) -> Path:
    """The folder of lessons with that course alone."""
    course = folder / "lessons" / "anyhow"
    course.mkdir(parents=True)
    (course / "course.toml").write_text(COURSE, encoding="utf-8")
    for name, keys in FILES.items():
        waits = "" if name == "01-q1" else '\nwaits = false\nafter = ["q1"]'
        text = f"+++\n{keys}{waits}\n+++\n# About it\n\nWords.\n"
        (course / f"{name}.md").write_text(text, encoding="utf-8")
    return folder / "lessons"


def grown(house: House, *steps: str) -> House:
    """The house once these steps have come, a week later; each falls on that day and has no mark."""
    house.start(first="q1")
    for step in steps:
        house.mark(step)
    house.sleep(DAYS)
    return house


def own_house(folder: Path, *steps: str) -> House:
    """A house that follows that course, grown."""
    return grown(House(folder, lessons=lessons(folder)), *(steps or STEPS))


def areas(house: House) -> list[dict[str, Any]]:
    """Two areas, one with three tasks of 10 minutes on its list; those tasks."""
    tasks = [{"title": f"Corner {number}", "minutes": 10} for number in (1, 2, 3)]
    wanted = [{"name": name, "rooms": [name], "detail": tasks, "declutter": []} for name in ("Loft", "Barn")]
    answer = house.http.put("/api/areas", json={"areas": wanted})
    assert answer.status_code == 200, answer.text
    return list(house.http.get("/api/area-week").json()["areas"][0]["listed"])


def tick(house: House, task: dict[str, Any]) -> Any:  # noqa: ANN401  any JSON
    """Tick a task on today's date; the answer."""
    return house.http.put(f"/api/days/{house.today}/tasks/{task['task']}").json()
