"""Whatever is broken, no page and no JSON fails, and each says what stands in or was left out."""

from __future__ import annotations

import gc
import json
import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from html import unescape
from itertools import cycle, islice
from typing import TYPE_CHECKING, Any

import pytest

from coach.cli import main
from web.broken import JOB, OWN_STEP, TODAY, Home, change, edit, own_lessons

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

DEEP = "[" * 100_000
BACKUP = "/data/backup"
WHOLE = "/api/home"
"""It refuses a database that no restore would take."""
CACHES = {"standing", "plan_state"}
BROKEN = ("{", "[]", "{}", "7", "-1", "null", '"x"', "[1]", '[["1", 2, 3]]', '{"a": {"b": 1}}', DEEP)


@dataclass
class Ruin:
    """A copy of a furnished household that a test may break.

    Attributes:
        file: Its database.
        lessons: Its lessons folder, with one course of its own.
    """

    file: Path
    lessons: Path
    homes: list[Home]

    def open(self, *, with_lessons: bool = True) -> Home:
        """The household behind an application that has just started."""
        home = Home(f"sqlite:///{self.file}", self.lessons if with_lessons else None)
        self.homes.append(home)
        return home

    def change(self, *statements: str, values: tuple[object, ...] = ()) -> None:
        if DEEP in values:
            # Reading it fills the stack, where nothing that earlier tests left could be tidied away.
            gc.collect()
        change(self.file, *statements, values=values)

    def ask(self, statement: str) -> list[tuple[object, ...]]:
        with closing(sqlite3.connect(self.file)) as connection:
            return connection.execute(statement).fetchall()


@pytest.fixture(scope="module")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("furnished")
    home = Home(f"sqlite:///{folder / 'home.db'}", own_lessons(folder))
    home.furnish()
    home.close()
    return folder


@pytest.fixture
def ruin(furnished: Path, tmp_path: Path) -> Iterator[Ruin]:
    shutil.copytree(furnished, tmp_path / "ruin")
    found = Ruin(tmp_path / "ruin" / "home.db", tmp_path / "ruin" / "lessons", [])
    yield found
    for home in found.homes:
        home.close()


def findings(home: Home) -> list[str]:
    """What is said at the top of today's page."""
    answer = home.get("/today")
    assert answer.status_code == 200, answer.text
    return said_on(answer.text)


def said_on(page: str) -> list[str]:
    _, begun, rest = unescape(page).partition('<aside class="findings"')
    return rest.partition("</aside>")[0].split("<p>")[1:-1] if begun else []


def day(home: Home) -> dict[str, object]:
    return dict(home.get("/api/today").json())


def test_a_sound_household_says_nothing_and_fails_nowhere(ruin: Ruin) -> None:
    home = ruin.open()
    assert home.walk() == {}
    assert findings(home) == []
    assert home.get("/healthz").json() == {"status": "ok", "findings": []}
    assert sum(home.get(path).status_code == 200 for path in home.addresses()) >= 50


# The course


def test_the_stored_version_stands_in_for_a_course_that_is_gone(ruin: Ruin) -> None:
    sound = day(ruin.open())
    home = ruin.open(with_lessons=False)
    assert home.walk() == {}
    assert {**day(home), "lesson": None} == {**sound, "lesson": None}
    [said] = findings(home)
    assert "The course “our-weeks” is not in the lessons folder." in said
    assert "start Steading with its --lessons" in said
    for path in ("/settings", "/data"):
        assert said_on(home.get(path).text) == [said]


def test_nothing_is_noted_down_while_the_course_is_gone_and_it_goes_on_when_it_is_back(ruin: Ruin) -> None:
    versions = ruin.ask("SELECT since, digest FROM course_version")
    home = ruin.open(with_lessons=False)
    home.walk()
    mark = home.http.put(f"/api/days/{TODAY}/marks/bed-made", json={"mark": "small"})
    assert mark.status_code == 200
    assert ruin.ask("SELECT since, digest FROM course_version") == versions
    edit(ruin.lessons / "our-weeks", "And a new sentence.")
    back = ruin.open()
    assert findings(back) == []
    assert len(ruin.ask("SELECT since, digest FROM course_version")) == len(versions) + 1


def test_a_course_that_is_gone_is_said_by_healthz_before_any_page_is_opened(ruin: Ruin) -> None:
    answer = ruin.open(with_lessons=False).get("/healthz")
    assert answer.status_code == 200
    assert answer.json()["status"] == "degraded"
    assert [finding["kind"] for finding in answer.json()["findings"]] == ["course"]


def test_a_course_renamed_while_the_service_runs(ruin: Ruin) -> None:
    home = ruin.open()
    assert home.walk() == {}
    shutil.copytree(ruin.lessons / "our-weeks", ruin.lessons / "other-weeks")
    shutil.rmtree(ruin.lessons / "our-weeks")
    home.context.library.folder._looked = 0  # noqa: SLF001  as if a second had gone by
    assert home.walk() == {}
    assert "“our-weeks” is not in the lessons folder" in findings(home)[0]


def test_a_lessons_folder_that_is_gone_while_the_service_runs_keeps_what_was_read(ruin: Ruin) -> None:
    home = ruin.open()
    before = day(home)
    shutil.rmtree(ruin.lessons)
    home.context.library.folder._looked = 0  # noqa: SLF001  as if a second had gone by
    assert home.walk() == {}
    assert day(home) == before
    assert findings(home) == []


def test_a_log_of_a_course_that_is_gone_comes_in_again(ruin: Ruin) -> None:
    home = ruin.open()
    assert home.http.post("/api/steps", json={"title": "Our own step", "minutes": 3}).is_success
    log = home.get("/api/log.csv").content
    assert f",{OWN_STEP}," in log.decode()
    gone = ruin.open(with_lessons=False)
    answer = gone.http.post("/api/log.csv", content=log, headers={"content-type": "text/csv"})
    assert answer.status_code == 200, answer.text
    assert gone.get("/api/log.csv").content == log
    assert gone.walk() == {}


def test_a_backup_of_a_household_whose_course_is_gone_comes_back(ruin: Ruin) -> None:
    gone = ruin.open(with_lessons=False)
    copy = gone.get("/data/backup").content
    taken = gone.http.post("/data/restore", files={"saved": ("backup.db", copy)})
    assert taken.status_code == 303, taken.text
    address = taken.headers["location"]
    assert gone.get(address).status_code == 200
    seen = gone.context.store.version("home").version
    assert gone.http.post(address, data={"seen": seen}).status_code == 303
    assert gone.walk() == {}


def test_the_commands_work_while_the_course_is_gone(ruin: Ruin, tmp_path: Path) -> None:
    database = ["--database", f"sqlite:///{ruin.file}"]
    log, copy = tmp_path / "log.csv", tmp_path / "copy.db"
    assert main(["export", str(log), *database]) == 0
    assert main(["backup", str(copy), *database]) == 0
    assert main(["import", str(log), *database, "--today", TODAY.isoformat()]) == 0
    assert main(["restore", str(copy), *database]) == 0
    home = ruin.open(with_lessons=False)
    assert home.get("/api/log.csv").content == log.read_bytes()
    assert home.context.store.version("home").course == "our-weeks"


def nonsense(content: str) -> str:
    held = json.loads(content)
    held["steps"][0]["definition"]["repeats"] = "FREQ=SOMETIMES"
    held["lapse_after"] = "seven"
    return json.dumps(held)


@pytest.mark.parametrize("garble", [lambda _: DEEP, nonsense])
def test_the_nearest_version_stands_in_for_one_that_cannot_be_read(
    ruin: Ruin, garble: Callable[[str], str]
) -> None:
    edit(ruin.lessons / "our-weeks", "A second version.")
    assert findings(ruin.open()) == []
    [(content,)] = ruin.ask("SELECT content FROM course_version ORDER BY since LIMIT 1")
    first = "since = (SELECT min(since) FROM course_version)"
    ruin.change(f"UPDATE course_version SET content = ? WHERE {first}", values=(garble(str(content)),))  # noqa: S608
    home = ruin.open()
    assert home.walk() == {}
    [said] = findings(home)
    assert "cannot be read any more" in said
    assert "stands in" in said


def test_no_version_can_be_read_and_the_files_are_gone(ruin: Ruin) -> None:
    ruin.change("UPDATE course_version SET content = '{'")
    home = ruin.open(with_lessons=False)
    assert home.walk() == {}
    assert len(findings(home)) == 2


def test_a_version_that_stands_in_leaves_no_standing_behind_for_the_real_one(ruin: Ruin) -> None:
    edit(ruin.lessons / "our-weeks", "A second version.")
    ruin.open().get("/today")
    sound = day(ruin.open())
    [(content,)] = ruin.ask("SELECT content FROM course_version ORDER BY since LIMIT 1")
    first = "since = (SELECT min(since) FROM course_version)"
    ruin.change(f"UPDATE course_version SET content = '{{' WHERE {first}")  # noqa: S608
    broken = ruin.open()
    assert broken.http.put(f"/api/days/{TODAY}/marks/bed-made", json={"mark": "kept"}).is_success
    ruin.change(f"UPDATE course_version SET content = ? WHERE {first}", values=(content,))  # noqa: S608
    assert day(ruin.open()) == sound


# The zone


def test_a_zone_that_is_not_known_any_more(ruin: Ruin) -> None:
    ruin.change(
        "UPDATE household SET zone = 'Mars/Olympus_Mons'",
        "UPDATE log SET value = 'Mars/Olympus_Mons' WHERE what = 'zone'",
    )
    home = ruin.open()
    assert home.walk() == {}
    [said] = findings(home)
    assert "The time zone “Mars/Olympus_Mons”" in said
    assert "Settings" in said
    assert [one["kind"] for one in home.get("/healthz").json()["findings"]] == ["zone"]
    form = {"zone": "UTC", "day_starts": "03:00", "minutes": "", "week_starts": "monday"}
    assert 'value="UTC" selected' in home.get("/settings").text
    assert home.http.post("/settings", data=form).status_code == 303
    assert findings(home) == []
    assert home.walk() == {}


def test_a_row_of_an_unknown_zone_in_the_log_alone(ruin: Ruin) -> None:
    ruin.change(
        "DELETE FROM standing",
        "INSERT INTO log (household_id, seq, date, what, step, value, logged_at) "
        "SELECT household_id, seq + 1, date, 'zone', '', 'Mars/X', logged_at "
        "FROM log ORDER BY seq DESC LIMIT 1",
    )
    home = ruin.open()
    assert home.walk() == {}
    assert "Mars/X" in findings(home)[0]


# What is a cache


def step_unknown(state: dict[str, Any]) -> object:
    return {**state, "records": {"moon": next(iter(state["records"].values()))}}


def count_as_text(state: dict[str, Any]) -> object:
    return {**state, "records": {step: {**one, "kept": "many"} for step, one in state["records"].items()}}


DAMAGES: list[Callable[[dict[str, Any]], object]] = [
    step_unknown,
    count_as_text,
    lambda state: {**state, "started": 20270104},
    lambda state: {**state, "through": "2026-12-24"},
    lambda state: {**state, "resting": ["moon"]},
    lambda state: {**state, "pace": "breakneck"},
]


@pytest.mark.parametrize("first", [0, 8])
def test_saved_standings_that_cannot_be_read_are_thrown_away(ruin: Ruin, first: int) -> None:
    sound = day(ruin.open())
    damages = islice(cycle([*(lambda _, text=text: text for text in BROKEN), *DAMAGES]), first, None)
    found = ruin.ask("SELECT through, state FROM standing ORDER BY through DESC")
    assert len(found) == 8
    for (through, state), damage in zip(found, damages, strict=False):
        value = damage(json.loads(str(state)))
        text = value if isinstance(value, str) else json.dumps(value)
        ruin.change("UPDATE standing SET state = ? WHERE through = ?", values=(text, through))
    home = ruin.open()
    assert day(home) == sound
    assert home.walk() == {}
    assert findings(home) == []


def test_the_next_write_puts_sound_standings_in_the_place_of_damaged_ones(ruin: Ruin) -> None:
    before = ruin.ask("SELECT through, state FROM standing ORDER BY through")
    ruin.change("UPDATE standing SET state = '{'")
    home = ruin.open()
    assert home.http.put(f"/api/days/{TODAY}/marks/bed-made", json={"mark": "small"}).is_success
    assert ruin.ask("SELECT through, state FROM standing ORDER BY through") == before


@pytest.mark.parametrize("state", ["{", '{"through":"2027-01-03","number":"x"}'])
def test_a_saved_fold_of_the_plan_that_cannot_be_read_is_thrown_away(ruin: Ruin, state: str) -> None:
    sound, before = ruin.open().get("/api/area-week").json(), ruin.ask("SELECT * FROM plan_state")
    ruin.change("UPDATE plan_state SET state = ?", values=(state,))
    home = ruin.open()
    assert home.get("/api/area-week").json() == sound
    task = sound["areas"][0]["listed"][1]["task"]
    assert home.http.put(f"/api/days/{TODAY}/tasks/{task}", json={}).is_success
    assert ruin.ask("SELECT * FROM plan_state") == before


@pytest.mark.parametrize("table", ["standing", "plan_state"])
@pytest.mark.parametrize("through", ["x", "2027-01-3x", "", b"\xff"])
def test_a_saved_fold_whose_date_is_damaged_hinders_no_write(ruin: Ruin, table: str, through: object) -> None:
    last = f"WHERE through = (SELECT max(through) FROM {table})"  # noqa: S608  our own names
    ruin.change(f"UPDATE {table} SET through = ? {last}", values=(through,))  # noqa: S608
    home = ruin.open()
    assert home.http.put(f"/api/days/{TODAY}/marks/bed-made", json={"mark": "small"}).is_success
    assert home.http.put(f"/api/dinners/{TODAY}", json={"dish": "Stew"}).is_success
    assert home.walk() == {}


# Text that is none


@pytest.mark.parametrize(
    ("table", "column"),
    [
        ("standing", "state"),
        ("plan_state", "state"),
        ("plan_value", "value"),
        ("log", "value"),
        ("log", "step"),
        ("course_version", "content"),
        ("household", "zone"),
    ],
)
def test_a_damaged_byte_of_a_text_keeps_no_page_from_opening(ruin: Ruin, table: str, column: str) -> None:
    damaged = f"CAST(x'e9' || substr(CAST({column} AS BLOB), 2) AS TEXT)"
    latest = f"WHERE rowid = (SELECT max(rowid) FROM {table} WHERE {column} <> '')"  # noqa: S608  our own names
    ruin.change(f"UPDATE {table} SET {column} = {damaged} {latest}")  # noqa: S608
    home = ruin.open()
    assert set(home.walk()) == (set() if table in CACHES else {BACKUP})
    assert home.http.put(f"/api/days/{TODAY}/marks/bed-made", json={"mark": "small"}).is_success


# The plan

KINDS = {
    "areas": ("/areas", "plan of the areas"),
    "available": ("/week", "minutes available (MO)"),
    "area-days": ("/areas", "days for area work"),
    "job": (f"/jobs/{JOB}", "lines of a weekday job (dry-round)"),
    "tick": (f"/jobs/{JOB}", "ticked line of a weekday job"),
    "timer": (f"/jobs/{JOB}", "timer of a weekday job"),
    "moved": ("/week", "last move of jobs"),
    "dinner": ("/dinner", "dinner (2027-02-03)"),
    "favourite": ("/dinner/favourites", "favourite (lentil-soup)"),
    "at-home": ("/shopping", "tick of the shopping list"),
    "shopping": ("/shopping", "line of the shopping list"),
    "due": ("/desk", "due (20270106-0001)"),
    "due-done": ("/desk", "due that is over"),
    "todo": ("/desk", "thing to do (20270106-0002)"),
    "todo-done": ("/desk", "thing that was finished"),
    "picked": ("/desk", "put-off job that was picked"),
    "sheet": ("/sheet", "How the week sheet is wanted"),
    "handover": ("/handover", "page of the handover"),
    "handover-order": ("/handover", "order of the pages of the handover"),
}


def spoil(ruin: Ruin, value: str, kind: str) -> None:
    """Put this in the place of every value of a kind of the plan."""
    for table in ("plan_value", "plan_log"):
        ruin.change(f"UPDATE {table} SET value = ? WHERE what = ?", values=(value, kind))  # noqa: S608  our own names


@pytest.mark.parametrize("first", [0, 3, 7])
def test_a_plan_of_which_nothing_can_be_read_keeps_no_page_from_opening(ruin: Ruin, first: int) -> None:
    values = islice(cycle(BROKEN), first, None)
    for kind, value in zip(KINDS, values, strict=False):
        spoil(ruin, value, kind)
    home = ruin.open()
    assert home.walk() == {}
    assert findings(home)


@pytest.mark.parametrize("kind", KINDS)
def test_a_value_that_cannot_be_read_is_left_out_and_named(ruin: Ruin, kind: str) -> None:
    before = ruin.ask("SELECT count(*) FROM plan_value")
    path, name = KINDS[kind]
    spoil(ruin, '{"a": 5}', kind)
    home = ruin.open()
    answer = home.get(path)
    assert answer.status_code == 200
    assert name in " ".join(said_on(answer.text))
    assert "degraded" in home.get("/healthz").text
    assert ruin.ask("SELECT count(*) FROM plan_value") == before


def test_a_wrong_type_deep_in_a_value_is_found_out(ruin: Ruin) -> None:
    for kind, key in (("dinner", "dish"), ("favourite", "dish"), ("due", "name"), ("todo", "title")):
        ruin.change(f"UPDATE plan_value SET value = json_set(value, '$.{key}', 7) WHERE what = '{kind}'")  # noqa: S608
    ruin.change("UPDATE plan_log SET value = json_set(value, '$.plan.areas[0].name', 7) WHERE what = 'areas'")
    home = ruin.open()
    assert home.walk() == {}
    assert said_on(home.get("/dinner").text)
    assert said_on(home.get("/desk").text)


def test_keys_that_are_none_are_left_out(ruin: Ruin) -> None:
    for kind in ("done", "due-done", "todo-done", "tick", "timer", "dinner"):
        no_date = f"substr(key, 1, 9) || 'x' || substr(key, 11) WHERE what = '{kind}' AND key LIKE '2027-02%'"
        ruin.change(f"UPDATE plan_value SET key = {no_date}")  # noqa: S608
    home = ruin.open()
    assert home.walk() == {}


def test_the_plan_of_the_areas_before_stands_in(ruin: Ruin) -> None:
    sound = ruin.open()
    assert sound.http.patch("/api/areas", json={"minutes_a_week": 33}).is_success
    ruin.change("UPDATE plan_log SET value = '{' WHERE seq = (SELECT max(seq) FROM plan_log)")
    home = ruin.open()
    assert len(home.get("/api/areas").json()["areas"]) == 9
    assert home.get("/api/rotation").json()["minutes_a_week"] == 40
    assert "plan of the areas" in said_on(home.get("/areas").text)[0]


def test_a_new_due_takes_no_place_of_one_that_cannot_be_read(ruin: Ruin) -> None:
    first = "key = (SELECT min(key) FROM plan_value WHERE what = 'due')"
    ruin.change(
        f"UPDATE plan_value SET value = '{{', key = '{TODAY:%Y%m%d}-0001' WHERE what = 'due' AND {first}"  # noqa: S608
    )
    home = ruin.open()
    assert home.http.post("/api/dues", json={"name": "Rent", "on": "2027-03-01"}).is_success
    assert len(ruin.ask("SELECT key FROM plan_value WHERE what = 'due'")) == 3
    assert ruin.ask("SELECT key FROM plan_value WHERE what = 'due' AND value = '{'")


# The log


def add_row(ruin: Ruin, on: str, what: str, value: str) -> None:
    ruin.change(
        "INSERT INTO log (household_id, seq, date, what, step, value, logged_at) "
        "SELECT household_id, seq + 1, ?, ?, 'bed-made', ?, logged_at "
        "FROM log ORDER BY seq DESC LIMIT 1",
        values=(on, what, value),
    )


ROWS = [
    (TODAY.isoformat(), "frobnicate", "x"),
    (TODAY.isoformat(), "minutes", "many"),
    (TODAY.isoformat(), "pace", ""),
    (TODAY.isoformat(), "pace", "breakneck"),
    (TODAY.isoformat(), "pause", "sometime"),
    (TODAY.isoformat(), "resume", "perhaps"),
    (TODAY.isoformat(), "day-starts", "noonish"),
    (TODAY.isoformat(), "add", "{"),
    (TODAY.isoformat(), "adjust", DEEP),
    (TODAY.isoformat(), "adjust", '{"repeats": 7}'),
    ("the other day", "kept", ""),
    ("2027-13-45", "kept", ""),
]


def test_a_log_of_such_rows_keeps_no_page_from_opening(ruin: Ruin) -> None:
    for row in ROWS:
        add_row(ruin, *row)
    home = ruin.open()
    assert set(home.walk()) == {BACKUP, WHOLE}
    [said] = findings(home)
    assert f"{len(ROWS)} rows of the log cannot be used" in said


@pytest.mark.parametrize(("on", "what", "value"), ROWS)
def test_a_row_that_cannot_be_used_is_left_out_and_named(ruin: Ruin, on: str, what: str, value: str) -> None:
    sound = day(ruin.open())
    add_row(ruin, on, what, value)
    home = ruin.open()
    [said] = findings(home)
    assert "A row of the log cannot be used and is left out" in said
    assert {**day(home), "lesson": None} == {**sound, "lesson": None}
    assert f"{on},{what},bed-made," in home.get("/rescue/log.csv").text


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM log WHERE what = 'start'",
        "UPDATE log SET step = 'moon' WHERE what = 'start'",
        "UPDATE log SET value = 'breakneck' WHERE what = 'start'",
    ],
)
def test_a_start_that_cannot_be_used(ruin: Ruin, statement: str) -> None:
    ruin.change("DELETE FROM standing", statement)
    home = ruin.open()
    assert "The log's start cannot be used" in findings(home)[0]


def test_an_empty_log_is_said_with_the_way_to_rescue(ruin: Ruin) -> None:
    ruin.change("DELETE FROM standing", "DELETE FROM log")
    home = ruin.open()
    answer = home.get("/today")
    assert answer.status_code == 503
    assert '<a href="/rescue">' in answer.text
    assert home.get("/rescue").status_code == 200
    assert home.get("/data").status_code == 200
