from __future__ import annotations

import http.client
import json
import socket
import statistics
import tempfile
import threading
import time
import urllib.error
from typing import TYPE_CHECKING

import pytest

from commands.running import Served, coach, served

if TYPE_CHECKING:
    from pathlib import Path


def database(folder: Path) -> str:
    return f"sqlite:///{folder / 'home.db'}"


def test_it_prints_its_address_answers_there_and_ends_on_sigterm(tmp_path: Path) -> None:
    with served("serve", "--database", database(tmp_path)) as running:
        assert running.get("/healthz") == (200, '{"status":"ok","findings":[]}')
        running.process.terminate()
        running.process.wait(10)


def test_the_day_to_try_is_the_day_it_is(tmp_path: Path) -> None:
    with served("serve", "--database", database(tmp_path), "--today", "2027-01-04") as running:
        day = running.send("POST", "/api/start", {"zone": "Pacific/Kiritimati"})
    assert (day["date"], day["day"]) == ("2027-01-04", 1)


def test_an_answer_on_a_kept_connection_does_not_wait_for_the_clients_confirmation(tmp_path: Path) -> None:
    with served("serve", "--database", database(tmp_path)) as running:
        kept = http.client.HTTPConnection(running.address.removeprefix("http://"), timeout=30)
        taken = [seconds_for(kept, "/healthz") for _ in range(41)]
        kept.close()
    # A delayed confirmation takes 40 ms or more (RFC 1122 §4.2.3.2 allows up to 500).
    assert statistics.median(taken) < 0.035


def seconds_for(connection: http.client.HTTPConnection, path: str) -> float:
    begun = time.perf_counter()
    connection.request("GET", path)
    connection.getresponse().read()
    return time.perf_counter() - begun


def test_a_port_in_use_is_said_in_one_line(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        ended = coach("serve", "--database", database(tmp_path), "--port", port)
    assert ended.returncode == 2
    assert ended.stderr.count("\n") == 1
    assert f"Port {port} on 127.0.0.1 cannot be used" in ended.stderr
    assert not (tmp_path / "home.db").exists()


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.5", "example.org"])  # noqa: S104  refused
def test_an_address_others_can_reach_is_refused_with_what_to_do(host: str, tmp_path: Path) -> None:
    ended = coach("serve", "--database", database(tmp_path), "--host", host, "--port", "0")
    assert ended.returncode == 2
    assert "Use --host 127.0.0.1" in ended.stderr
    assert ended.stderr.count("\n") == 1


def test_broken_lessons_are_named_and_nothing_is_made(tmp_path: Path) -> None:
    (tmp_path / "course.toml").write_text('title = "Broken"\nramp_dais = 3\n')
    ended = coach("serve", "--database", database(tmp_path), "--lessons", tmp_path, "--port", "0")
    assert ended.returncode == 2
    assert "course.toml:2" in ended.stderr
    assert not (tmp_path / "home.db").exists()


def test_a_course_that_is_not_there_is_named_with_those_there_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COACH_COURSE", "three-week")
    ended = coach("serve", "--database", database(tmp_path), "--port", "0")
    assert ended.returncode == 2
    assert ended.stderr == (
        "coach: COACH_COURSE cannot be used. There is no course “three-week”. There are: three-weeks.\n"
    )
    assert not (tmp_path / "home.db").exists()


def test_the_demo_has_weeks_behind_it() -> None:
    with served("demo", "--today", "2027-03-01") as running:
        status, page = running.get("/today")
        log = running.get("/api/log.csv")[1]
    assert status == 200
    assert "Make the bed" in page
    assert log.count("\n") > 250


def mark_until_killed(running: Served, acknowledged: list[tuple[str, str]], begun: threading.Event) -> None:
    """Change the mark of the first step over and over, noting each change that was acknowledged."""
    marks = ("kept", "small", "missed", "excused")
    try:
        for count in range(100_000):
            mark = marks[count % len(marks)]
            day = running.send("PUT", "/api/days/2027-01-04/marks/bed-made", {"mark": mark})
            acknowledged.append((mark, day["checklist"][0]["mark"]))
            if count == 20:
                begun.set()
    except (urllib.error.URLError, ConnectionError, TimeoutError):
        return


def test_a_server_killed_in_the_middle_of_marks_loses_no_acknowledged_one(tmp_path: Path) -> None:
    arguments = ("serve", "--database", database(tmp_path), "--today", "2027-01-04")
    acknowledged: list[tuple[str, str]] = []
    with served(*arguments) as running:
        running.send("POST", "/api/start", {"first": "bed-made", "zone": "Europe/Lisbon"})
        begun = threading.Event()
        phone = threading.Thread(target=mark_until_killed, args=(running, acknowledged, begun))
        phone.start()
        assert begun.wait(30)
        running.process.kill()
        phone.join(30)
    with served(*arguments) as running:
        logged = [
            line.split(",")[1]
            for line in running.get("/api/log.csv")[1].splitlines()
            if ",bed-made," in line and ",start," not in line
        ]
    assert [said for said, _ in acknowledged] == [held for _, held in acknowledged]
    # The one whose answer was cut off may be there too.
    assert logged[: len(acknowledged)] == [mark for mark, _ in acknowledged]
    assert len(logged) - len(acknowledged) <= 1


def test_writes_to_a_database_that_was_deleted_are_refused_and_what_was_answered_is_kept(
    tmp_path: Path,
) -> None:
    arguments = ("serve", "--database", database(tmp_path), "--today", "2027-01-04")
    with served(*arguments) as running:
        running.send("POST", "/api/start", {"first": "bed-made", "zone": "Europe/Lisbon"})
        running.send("PUT", "/api/days/2027-01-04/marks/bed-made", {"mark": "kept"})
        (tmp_path / "home.db").unlink()
        for mark in ("small", "missed", "excused", "small", "missed"):
            with pytest.raises(urllib.error.HTTPError) as refused:
                running.send("PUT", "/api/days/2027-01-04/marks/bed-made", {"mark": mark})
            with refused.value as answer:
                assert answer.code == 503
        assert "is not in its place" in running.get("/today")[1]
    [copy] = (tmp_path / "home.db.copies").glob("*-before-end.db")
    assert coach("restore", copy, "--database", database(tmp_path)).returncode == 0
    with served(*arguments) as running:
        assert json.loads(running.get("/api/today")[1])["checklist"][0]["mark"] == "kept"
        running.send("PUT", "/api/days/2027-01-04/marks/bed-made", {"mark": "small"})


def test_a_demo_that_finds_no_place_for_its_database_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path / "nowhere"))
    monkeypatch.setattr(tempfile, "tempdir", None)
    ended = coach("demo", "--port", "0")
    assert (ended.returncode, ended.stderr.count("\n")) == (2, 1)
    assert "temporary files cannot be written" in ended.stderr
