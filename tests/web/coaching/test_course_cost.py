"""What a household pays for following its group's course: one short look a second, and nothing else."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING
from unittest.mock import patch

from coach.coaching import kept_library
from coach.ground.course_names import group_course
from web.coaching.valley import ANA, Valley
from web.test_one_reading import Watched

if TYPE_CHECKING:
    from pathlib import Path

WORDS = {"step": "bed-made", "version": "", "title": "Our bed", "text": "# Covers\nPull them straight."}


def test_a_group_s_course_costs_two_short_reads_once_a_second_and_nothing_in_between(tmp_path: Path) -> None:
    valley = Valley(tmp_path)
    location = valley.send(f"{valley.place}/course/words", ANA, **WORDS)
    digest = location.partition("version=")[2].partition("&")[0]
    valley.send(f"{valley.place}/course/changes", ANA, version=digest, since=str(valley.today))
    plain = valley.http
    valley.app.state.context = replace(valley.app.state.context, course=group_course("spring"))
    coached = valley.household("Pia", "other", "spring", "Mill Lane")
    with patch.object(kept_library, "LOOK_EVERY", 3600.0):
        counts = []
        for client in (plain, coached):
            watched = Watched(client)
            client.get("/api/today")
            with watched.watching() as seen:
                assert client.get("/api/today").status_code == 200
            counts.append(len(seen.statements))
        assert counts[0] == counts[1]
        assert coached.get("/api/today").json()["checklist"][0]["title"] == "Our bed"
        valley.app.state.context.library.look_again(group_course("spring"))
        with watched.watching() as seen:
            coached.get("/api/today")
        assert len(seen.statements) == counts[1] + 2
    valley.close()
