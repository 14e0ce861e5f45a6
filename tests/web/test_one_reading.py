"""A request reads once: one transaction, few statements, and the days folded at most twice."""

from __future__ import annotations

import shutil
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING
from unittest.mock import patch

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import event

from coach.coaching.demo import furnish, tern_street
from coach.ground import pages, past
from coach.household import data, places
from coach.progress.csvform import write_log
from coach.settings import Settings
from coach.store.wall import BEGIN_OPTION
from web.areas.forms import filled, form_with
from web.markup import read
from web.ready import ready_app
from web.test_two_people_rooms import form_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from httpx2 import Response
    from sqlalchemy import Connection

TODAY = date(2027, 1, 26)
NOW = datetime(2027, 1, 26, 10, 7, tzinfo=UTC)
ASIDE = ("BEGIN", "COMMIT", "ROLLBACK", "PRAGMA", "SAVEPOINT", "RELEASE")
PAGES = (
    "/week",
    "/areas",
    "/areas/week",
    "/areas/weeks",
    "/dinner",
    "/dinner/favourites",
    "/shopping",
    "/desk",
    "/path",
    "/path/what-if",
    "/steps/bed-made",
    "/steps/area-time",
    "/jobs/papers",
    "/jobs/out-and-back",
    "/days/2027-01-25",
    "/days",
    "/month",
    "/month/2026-12",
    "/settings",
    "/away",
    "/catalogue",
    "/new-step",
    "/more",
    "/data",
    "/sheet",
    "/sheet/2027-W06",
    "/cards",
    "/courses/three-weeks/booklet",
    "/sheet/2027-W04/enter",
    "/handover",
    "/handover?whom=stand-in",
    "/handover/new",
)


@dataclass
class Seen:
    """What a request asked of the database, and how often days were folded."""

    statements: list[str] = field(default_factory=list)
    transactions: int = 0
    folds: int = 0


class Watched:
    """The demo household behind a client, with an eye on its database."""

    def __init__(self, client: TestClient) -> None:
        self.client = client

    @contextmanager
    def watching(self) -> Iterator[Seen]:
        """What happens inside."""
        seen = Seen()

        def note(*call: object) -> None:
            statement = str(call[2])
            if not statement.startswith(ASIDE):
                seen.statements.append(statement)

        def resumed(self: past.Past) -> object:
            seen.folds += 1
            return original(self)

        original, engine = past.Past.resumed, self.client.app.state.context.store.engine  # type: ignore[attr-defined]

        def begun(connection: Connection) -> None:
            # A read of the household's own row stands for itself.
            seen.transactions += connection.get_execution_options().get(BEGIN_OPTION) is not None

        event.listen(engine, "before_cursor_execute", note)
        event.listen(engine, "begin", begun)
        with patch.object(past.Past, "resumed", resumed):
            yield seen
        event.remove(engine, "before_cursor_execute", note)
        event.remove(engine, "begin", begun)

    def mark(self, mark: str, on: date = TODAY, request_id: str | None = None) -> Response:
        """Mark the first line of a day."""
        body = {"mark": mark, "request_id": request_id}
        return self.client.put(f"/api/days/{on}/marks/bed-made", json=body)


@pytest.fixture(scope="module")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with Tern Street and its whole home plan."""
    file = tmp_path_factory.mktemp("furnished") / "home.db"
    context = ready_app(Settings(database=f"sqlite:///{file}", today=TODAY)).state.context
    course = context.library.course("three-weeks")
    data.load(context, "home", write_log(tern_street(course, TODAY)))
    furnish(context, "home", TODAY)
    for name in pages.PAGES:
        places.open_early(context, "home", name)
    context.store.close()
    return file


@pytest.fixture
def watched(furnished: Path, tmp_path: Path) -> Iterator[Watched]:
    file = shutil.copy(furnished, tmp_path / "home.db")
    app = ready_app(Settings(database=f"sqlite:///{file}", today=TODAY))
    app.state.context = replace(app.state.context, clock=lambda: NOW)
    headers = {"origin": "http://127.0.0.1"}
    with TestClient(app, base_url="http://127.0.0.1", headers=headers, follow_redirects=False) as client:
        yield Watched(client)


@pytest.mark.parametrize(("request_id", "most"), [(None, 8), ("a-tap", 9)])
def test_a_mark_takes_at_most_eight_statements_and_two_folds(
    watched: Watched, request_id: str | None, most: int
) -> None:
    """With an id its answer is looked for, old ones are let go of, and it is kept, in the one transaction."""
    with watched.watching() as seen:
        assert watched.mark("kept", request_id=request_id).status_code == 200
    assert len(seen.statements) <= most
    assert seen.transactions == 1
    assert seen.folds <= 2


def test_a_mark_on_a_day_before_takes_no_more(watched: Watched) -> None:
    with watched.watching() as seen:
        assert watched.mark("missed", date(2027, 1, 24)).json()["date"] == "2027-01-24"
    assert len(seen.statements) <= 8
    assert seen.folds <= 2


def test_a_mark_that_changes_nothing_only_reads(watched: Watched) -> None:
    watched.mark("kept")
    with watched.watching() as seen:
        watched.mark("kept")
    assert len(seen.statements) <= 3


def test_todays_page_after_a_mark_with_the_whole_plan_takes_at_most_fourteen(watched: Watched) -> None:
    watched.client.get("/today")
    watched.mark("kept")
    with watched.watching() as seen:
        page = watched.client.get("/today")
    assert all(word in page.text for word in ("Lentil soup", "/areas/week", "/desk"))
    assert len(seen.statements) <= 14
    assert seen.transactions == 1
    assert seen.folds <= 2


def test_todays_page_with_a_due_that_cannot_wait_for_desk_work_folds_once_more(watched: Watched) -> None:
    """Whether an earlier desk-work day has listed it is known by the days as they were."""
    moved = {"repeats": "FREQ=WEEKLY;BYDAY=FR"}
    assert watched.client.patch("/api/steps/papers", json=moved).status_code == 200
    kept = watched.client.put(f"/api/days/{TODAY}/marks/papers", json={"mark": "kept"})
    assert kept.status_code == 200  # it rested, and is on the list again
    due = {"name": "Gas", "on": "2027-01-30", "needs": 2}
    assert watched.client.post("/api/dues", json=due).status_code == 201
    watched.client.get("/today")
    watched.mark("kept")
    with watched.watching() as seen:
        page = watched.client.get("/today")
    assert "Gas" in read(page.text).one("section", "urgent").text
    assert len(seen.statements) <= 14
    assert (seen.transactions, seen.folds) == (1, 2)


def test_a_page_that_nothing_has_changed_takes_one(watched: Watched) -> None:
    first = watched.client.get("/today")
    with watched.watching() as seen:
        assert watched.client.get("/today").text == first.text
    assert len(seen.statements) == 1
    assert seen.folds == 0


@pytest.mark.parametrize("path", PAGES)
def test_every_page_reads_in_one_transaction_and_folds_at_most_twice(watched: Watched, path: str) -> None:
    watched.mark("kept")
    with watched.watching() as seen:
        assert watched.client.get(path).status_code == 200
    assert len(seen.statements) <= 14
    assert seen.transactions == 1
    assert seen.folds <= 2


def test_a_quick_line_is_said_back_with_the_bar_out_of_one_transaction(watched: Watched) -> None:
    watched.mark("kept")
    with watched.watching() as seen:
        assert "Due: renew library card" in watched.client.get("/quick?line=renew+library+card+fri").text
    assert seen.transactions == 1


def test_a_due_is_changed_in_one_transaction(watched: Watched) -> None:
    due = watched.client.get("/api/dues").json()["dues"][0]
    form = {"name": "Water", "on": due["on"], "repeats": "as-is", "needs": "4", "amount": ""}
    with watched.watching() as seen:
        assert watched.client.post(f"/desk/dues/{due['id']}", data=form).status_code == 303
    assert seen.transactions == 1


@pytest.mark.parametrize(
    ("page", "action", "changed"),
    [
        ("/areas", "/areas/arrange", {"minutes_a_week": "45"}),
        ("/areas/{area}", "/areas/{area}", {"name": "Galley"}),
        ("/areas/{area}/tasks/{task}", "/areas/{area}/tasks/{task}", {"title": "Look up"}),
    ],
)
def test_a_form_of_the_areas_is_saved_in_one_transaction(
    watched: Watched, page: str, action: str, changed: dict[str, str]
) -> None:
    area = watched.client.get("/api/areas").json()["areas"][0]
    place = {"area": area["area"], "task": area["detail"][0]["task"]}
    shown = read(watched.client.get(page.format(**place)).text)
    sent = filled(form_with(shown, next(iter(changed)), action.format(**place))) | changed
    with watched.watching() as seen:
        assert watched.client.post(action.format(**place), data=sent).status_code == 303
    assert seen.transactions == 1
    assert len(seen.statements) <= 22


def test_a_tap_of_take_it_back_reads_and_writes_in_one_transaction(watched: Watched) -> None:
    shown = form_with(read(watched.client.get("/areas").text), "back")
    with watched.watching() as seen:
        assert watched.client.post("/areas/undo", data=filled(shown)).status_code == 303
    assert seen.transactions == 1


def test_a_line_of_the_list_is_changed_in_one_transaction(watched: Watched) -> None:
    added = watched.client.post("/api/shopping/lines", json={"lines": ["soap"]}).json()
    line = next(item["written"][0]["id"] for item in added["to_buy"] if item["key"] == "soap")
    with watched.watching() as seen:
        assert watched.client.post(f"/shopping/lines/{line}", data={"text": "2 soaps"}).status_code == 303
    assert seen.transactions == 1


def test_settings_are_changed_in_one_transaction(watched: Watched) -> None:
    form = {"zone": "Europe/Lisbon", "day_starts": "04:00", "minutes": "50"}
    form |= {"week_starts": "sunday", "pace": "gentle"}
    with watched.watching() as seen:
        assert watched.client.post("/settings", data=form).status_code == 303
    assert seen.transactions == 1


@pytest.mark.parametrize(
    ("page", "address", "typed"),
    [
        ("/settings", "/settings", {"minutes": "50"}),
        ("/steps/bed-made", "/steps/bed-made/adjust", {"cue": "after tea"}),
        ("/week", "/week/available", {"MO": "33"}),
        ("/jobs/out-and-back/lines", "/jobs/out-and-back/lines", {"stop_after": "44"}),
        ("/dinner", "/dinner", {"2027-01-30-dish": "Porridge"}),
        ("/away", "/away", {"since": "2027-02-10", "until": "2027-02-12"}),
    ],
)
def test_a_form_that_says_what_it_saw_is_saved_in_one_transaction(
    watched: Watched, page: str, address: str, typed: dict[str, str]
) -> None:
    form = form_of(read(watched.client.get(page).text), address) | typed
    with watched.watching() as seen:
        answer = watched.client.post(address, data=form)
    assert answer.status_code == 303, answer.text
    assert seen.transactions == 1


def test_an_answer_to_what_is_for_dinner_that_cannot_be_used_is_read_once_more(watched: Watched) -> None:
    with watched.watching() as seen:
        form = {"favourite": "moon"}
        assert watched.client.post(f"/dinner/{TODAY}/dish", data=form).status_code == 422
    assert seen.transactions == 2


def test_only_a_few_is_taken_in_one_transaction_and_costs_the_page_nothing(watched: Watched) -> None:
    with watched.watching() as seen:
        assert watched.client.post("/today/few", data={"request_id": "a"}).status_code == 303
    assert (seen.transactions, seen.folds) == (1, 1)
    assert len(seen.statements) <= 12
    with watched.watching() as seen:
        assert "Bring them back" in watched.client.get("/today").text
    assert len(seen.statements) <= 14
    assert (seen.transactions, seen.folds) == (1, 1)


def test_a_mark_of_a_day_with_excused_lines_reads_the_plan_once(watched: Watched) -> None:
    watched.client.post("/today/few", data={"request_id": "a"})
    with watched.watching() as seen:
        assert watched.mark("kept").status_code == 200
    assert len(seen.statements) <= 9
    assert seen.transactions == 1
