"""Results kept by version: handed out while it holds, and by a look alone nothing is worked out."""

from __future__ import annotations

from coach.ground.memo import Memo


def test_a_look_finds_what_was_kept_for_that_version_and_works_nothing_out() -> None:
    memo = Memo()
    assert memo.kept("dates", 1) is None
    assert memo.get("dates", 1, lambda: "in March") == "in March"
    assert memo.kept("dates", 1) == "in March"
    assert memo.kept("dates", 2) is None
    assert memo.kept("other", 1) is None


def test_what_is_forgotten_is_not_found() -> None:
    memo = Memo()
    memo.get("dates", 1, lambda: "in March")
    memo.forget()
    assert memo.kept("dates", 1) is None


def test_a_new_version_takes_the_place_of_the_old_one() -> None:
    memo = Memo()
    memo.get("dates", 1, lambda: "in March")
    memo.get("dates", 2, lambda: "in May")
    assert (memo.kept("dates", 1), memo.kept("dates", 2)) == (None, "in May")
