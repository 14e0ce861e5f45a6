"""A house some weeks in, with weekday jobs of the shipped course; it is Saturday 30 January 2027."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from typing import TYPE_CHECKING, Any

from coach.coaching.library import find_course
from coach.household import data
from coach.progress.csvform import write_log
from coach.progress.log import Row, What
from coach.progress.replay import replay
from web.markup import Element, read

if TYPE_CHECKING:
    from web.house import House

SATURDAY = "2027-01-30"
JOB = "/jobs/out-and-back"
SIX = ("Bakery", "Library", "Post", "Shop", "Bags", "Car")
FIRST = date(2027, 1, 4)
DAYS_TO_SATURDAY = 26


@cache
def log() -> str:
    """Everything kept from the start to the day before that Saturday."""
    course = find_course("three-weeks")
    rows = [Row(FIRST, What.START, "bed-made")]
    for ahead in range(DAYS_TO_SATURDAY):
        day = FIRST + timedelta(days=ahead)
        rows += [Row(day, What.KEPT, step) for step in replay(course, rows, day).checklist]
    return write_log(rows)


def grown(house: House) -> House:
    """The house on the Saturday on which the out-and-back is due; it need not have started."""
    house.sleep(DAYS_TO_SATURDAY)
    assert str(house.today) == SATURDAY
    data.load(house.app.state.context, "home", log())
    return house


def six_lines(house: House) -> House:
    """That house, whose job that Saturday has six lines of its own, of 10 minutes each, and ends after 60."""
    grown(house)
    kept = [{"line": line} for line in "123"] + [{}] * 3
    lines = [line | {"title": title, "minutes": 10} for line, title in zip(kept, SIX, strict=True)]
    answer = house.http.put(f"/api{JOB}/lines", json={"lines": lines, "stop_after": 60})
    assert [line["line"] for line in answer.json()["lines"]] == list("123456"), answer.text
    return house


def see(house: House, path: str) -> Element:
    """A page."""
    answer = house.http.get(path)
    assert answer.status_code == 200, answer.text
    return read(answer.text)


def send(house: House, path: str, **data: Any) -> str:  # noqa: ANN401  text or several texts
    """Send a form; where it leads to."""
    answer = house.http.post(path, data=data)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]
