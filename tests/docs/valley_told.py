"""The group of the examples: Ana coaches it, Olga's household is in it, and each asks for what is told."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from coach.ground.questions import Answer, Question
from web.coaching.valley import ANA, HOUSEHOLD, Valley

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from starlette.testclient import TestClient

OF_COACH, OF_HOUSEHOLD = "docs/json/groups.md", "docs/json/coaching.md"
"""The pages whose examples are told there; those of the others are told in a home."""
BEGUN = datetime(2027, 1, 4, 7, tzinfo=UTC)
NOON = datetime(2027, 1, 18, 12, tzinfo=UTC)
TOLD_ON = NOON.date()


@contextmanager
def told_to_ana(folder: Path) -> Iterator[TestClient]:
    """The program by which Ana asks, at noon of the day of all examples."""
    with _at_noon(folder) as house:
        house.group(ANA, "summer")
        house.joins("by name", house.today + timedelta(days=90))
        yield house.signed_in(ANA)


@contextmanager
def told_to_olga(folder: Path) -> Iterator[TestClient]:
    """The program by which Olga's household asks then; Ana has said something for the day."""
    with _at_noon(folder) as house:
        note = house.signed_in(ANA).put(
            f"/api{house.place}/notes/{house.today}", json={"text": "Open the windows."}
        )
        assert note.status_code == 200
        yield house.http


@contextmanager
def _at_noon(folder: Path) -> Iterator[Valley]:
    house = Valley(folder)
    house.at(NOON)
    _ask(house)
    try:
        yield house
    finally:
        house.close()


def _ask(house: Valley) -> None:
    """Two questions that wait, one that is answered, and the answer."""
    texts = (
        ("q0", "Where do cups go?", "a1"),
        ("q1", "And a bunk bed?", ""),
        ("q2", "Which sheet first?", ""),
    )
    waits = Question("q1", "spring", HOUSEHOLD, "", "bed-made", 1, "", with_name=False, asked_at=BEGUN)
    with house.store.coaching_writing() as writing:
        for key, text, answer in texts:
            writing.put_question(replace(waits, id=key, text=text, answer=answer))
        writing.put_answer(
            Answer("a1", "spring", "bed-made", "", "Into the sink.", for_all=False, answered_at=BEGUN)
        )
