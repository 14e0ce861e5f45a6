"""A household with its whole plan and a course of its own, to be broken, and a walk through its pages."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fastapi.routing import iter_route_contexts

from coach.coaching.demo import furnish, tern_street
from coach.ground.pages import PAGES
from coach.household import data, places
from coach.progress.csvform import write_log
from coach.settings import Settings
from web.asking import client_of
from web.ready import ready_app

if TYPE_CHECKING:
    from collections.abc import Iterator

    from httpx2 import Response

TODAY = date(2027, 2, 3)
NOW = datetime(2027, 2, 3, 10, 7, tzinfo=UTC)
COURSE = "our-weeks"
SHIPPED = Path(__file__).parents[2] / "lessons" / "three-weeks"
WEEKS = timedelta(days=28)
OWN_STEP = "linen-fresh"
"""A step of that course, which no other one has."""
JOB, MOVED = "dry-round", "out-and-back"


def own_lessons(folder: Path) -> Path:
    """A lessons folder with one course, which is no other's."""
    course = folder / "lessons" / COURSE
    shutil.copytree(SHIPPED, course)
    (course / "10-linen.md").rename(course / f"10-{OWN_STEP}.md")
    return course.parent


def edit(course: Path, said: str) -> None:
    """Make the course another one by a sentence at the end of its last lesson."""
    file = max(course.glob("*.md"))
    file.write_text(f"{file.read_text()}\n{said}\n")


class Home:
    """One home behind its application, with a client that sees every failure as an answer."""

    def __init__(self, url: str, lessons: Path | None, now: datetime = NOW) -> None:
        self.now = now
        self.app = ready_app(Settings(database=url, lessons=lessons))
        self.app.state.context = replace(self.app.state.context, clock=lambda: self.now)
        headers = {"origin": "http://127.0.0.1"}
        self.http = client_of(
            self.app, base_url="http://127.0.0.1", headers=headers, raise_server_exceptions=False
        )

    @property
    def context(self) -> Any:  # noqa: ANN401  the application's state has no types
        return self.app.state.context

    def get(self, path: str) -> Response:
        return self.http.get(path)

    def addresses(self) -> Iterator[str]:
        """Every address that answers a GET, with something in the place of what varies."""
        for route in iter_route_contexts(self.app.routes):
            methods, path = getattr(route, "methods", None), getattr(route, "path", None)
            if methods and "GET" in methods and path:
                # What takes slashes, too, is written `{secret:path}`.
                yield path.replace(":path}", "}").format_map(VARYING)

    def walk(self) -> dict[str, int]:
        """The status of each, where it is a failure."""
        found = {path: self.get(path).status_code for path in self.addresses()}
        return {path: status for path, status in found.items() if status >= 500}

    def furnish(self) -> None:
        """Start, enter a plan with a value of every kind, and let weeks of it be folded and kept."""
        self.now -= WEEKS
        self._load()
        furnish(self.context, "home", self.now.date())
        for name in PAGES:
            places.open_early(self.context, "home", name)
        self.now += WEEKS
        self._load()
        for method, path, body in self._entries():
            answer = self.http.request(method, path, json=body)
            assert answer.is_success, (path, answer.text)

    def _load(self) -> None:
        course = self.context.library.course(self.context.course)
        data.load(self.context, "home", write_log(tern_street(course, self.now.date())))

    def _entries(self) -> Iterator[tuple[str, str, object]]:
        due = self.get("/api/dues").json()["dues"][0]
        todos = self.get("/api/to-dos").json()
        yield "PUT", f"/api/dues/{due['id']}/seen-to/{due['on']}", {}
        yield "PUT", f"/api/to-dos/{todos['open'][0]['id']}/done", {}
        yield "PUT", f"/api/to-dos/{todos['put_off'][0]['id']}/picked", {}
        yield "PUT", f"/api/dinners/{TODAY}", {"dish": "Soup", "ingredients": ["2 onions", "1 l stock"]}
        key = self.get("/api/shopping").json()["to_buy"][0]["key"]
        yield "PUT", "/api/shopping", {"key": key, "tick": "at-home"}
        yield "POST", "/api/shopping/lines", {"lines": ["soap"]}
        yield "PATCH", "/api/areas", {"area_days": ["SA"]}
        area = self.get("/api/area-week").json()["areas"][0]["listed"][0]["task"]
        yield "PUT", f"/api/days/{TODAY}/tasks/{area}", {}
        yield "PUT", f"/api/jobs/{JOB}/lines", {"lines": [{"title": "Sweep", "minutes": 5}], "stop_after": 20}
        yield "PUT", f"/api/jobs/{JOB}/ticks/{self.get(f'/api/jobs/{JOB}').json()['lines'][0]['line']}", {}
        yield "PUT", f"/api/jobs/{JOB}/timer", {}
        yield "POST", f"/api/jobs/{MOVED}/move", {"on": "2027-02-06", "to": "2027-02-07"}
        yield "PUT", "/api/sheet/choices", {"paper": "letter"}
        for title in ("Bins", "Heating"):
            yield "POST", "/api/handover/pages", {"title": title, "markdown": "By hand.", "whom": ["sitter"]}
        pages = [one["page"] for one in self.get("/api/handover/pages").json()["pages"]]
        yield "PUT", "/api/handover/order", {"order": pages[::-1]}
        yield "PUT", f"/api/days/{TODAY}/marks/bed-made", {"mark": "kept"}

    def close(self) -> None:
        self.http.close()
        self.context.store.close()


class Anything(dict[str, str]):
    """What stands in an address for each name; something that is nowhere for a name not thought of."""

    def __missing__(self, name: str) -> str:
        return "nowhere"


VARYING = Anything(
    date=TODAY.isoformat(),
    week="2027-W05",
    step="bed-made",
    name="store",
    area="kitchen",
    due="20270105-0001",
    todo="20270105-0002",
)


def change(file: Path, *statements: str, values: tuple[object, ...] = ()) -> None:
    """Change the database behind the application's back, and against its triggers."""
    with closing(sqlite3.connect(file)) as connection, connection:
        triggers = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement, values)
        for _, sql in triggers:
            connection.execute(sql)
