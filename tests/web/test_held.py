"""Uploads that wait for a tap: few, for a short time, for the one who sent them."""

from __future__ import annotations

import io

import pytest

from coach.errors import Unknown
from coach.web.held import MOST, SECONDS, Held


class Clock:
    """Seconds that a test lets pass."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


def put(held: Held, content: bytes = b"rows", household: str = "home") -> str:
    return held.put(household, "log", io.BytesIO(content), "log.csv")


def test_an_upload_waits_as_it_was_sent() -> None:
    held = Held()
    found = held.get(put(held), "home")
    assert (found.path.read_bytes(), found.kind, found.name) == (b"rows", "log", "log.csv")
    assert found.path.stat().st_mode & 0o077 == 0 or found.path.parent.stat().st_mode & 0o077 == 0


def test_names_are_long_and_never_the_same() -> None:
    held = Held()
    names = {put(held) for _ in range(20)}
    assert len(names) == 20
    assert min(map(len, names)) >= 43


def test_one_more_takes_the_place_of_the_oldest() -> None:
    held = Held()
    tokens = [put(held) for _ in range(MOST)]
    files = [held.get(token, "home").path for token in tokens]
    last = put(held)
    with pytest.raises(Unknown, match="not held any more"):
        held.get(tokens[0], "home")
    assert [file.exists() for file in files] == [False, *[True] * (MOST - 1)]
    assert held.get(last, "home").path.exists()


def test_one_that_nobody_taps_is_gone_after_half_an_hour() -> None:
    clock = Clock()
    held = Held(clock)
    token = put(held)
    file = held.get(token, "home").path
    clock.now = SECONDS
    assert held.get(token, "home").path == file
    clock.now = SECONDS + 1
    with pytest.raises(Unknown):
        held.get(token, "home")
    assert not file.exists()


def test_nobody_else_gets_it() -> None:
    held = Held()
    token = put(held)
    with pytest.raises(Unknown):
        held.get(token, "next-door")


def test_what_is_let_go_leaves_no_file() -> None:
    held = Held()
    tokens = [put(held), put(held)]
    files = [held.get(token, "home").path for token in tokens]
    held.drop(tokens[0])
    held.drop(tokens[0])
    held.clear()
    assert not any(file.exists() for file in files)


def test_of_what_a_household_sent_all_is_let_go_and_nothing_of_another_one() -> None:
    held = Held()
    mine, theirs = put(held), held.put("next-door", "log", io.BytesIO(b"theirs"), "log.csv")
    held.clear("home")
    with pytest.raises(Unknown):
        held.get(mine, "home")
    assert held.get(theirs, "next-door").path.is_file()


def test_the_folder_is_gone_with_its_keeper() -> None:
    held = Held()
    folder = held.get(put(held), "home").path.parent
    del held
    assert not folder.exists()
