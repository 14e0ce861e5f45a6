"""People's texts among other words (Unicode Annex 9): isolated where they could turn round the rest."""

from __future__ import annotations

import pytest

from coach.course.direction import balanced, isolated

HEBREW = "\u05dc\u05e9\u05d8\u05d5\u05e3"
OPEN, CLOSE = "\u2068", "\u2069"


@pytest.mark.parametrize("text", ["", "Make the bed", "Küche und Flur", "5 \u00b0C, 3 \u00bd", "台所"])
def test_a_text_that_is_plainly_left_to_right_stays_as_it_is(text: str) -> None:
    assert isolated(text) == text


@pytest.mark.parametrize("text", [HEBREW, f"a {HEBREW}", "\u202ebed", "a\u200f", "\u0661"])
def test_any_other_is_isolated(text: str) -> None:
    assert isolated(text) == f"{OPEN}{text}{CLOSE}"


@pytest.mark.parametrize(
    ("text", "closed"),
    [
        (f"a{CLOSE}b", "ab"),
        (f"{OPEN}a", f"{OPEN}a{CLOSE}"),
        ("\u2067a\u2066b", "\u2067a\u2066b\u2069\u2069"),
        (f"{CLOSE}{CLOSE}", ""),
        (f"\u2067a{CLOSE}b{CLOSE}", f"\u2067a{CLOSE}b"),
    ],
)
def test_an_isolate_inside_is_closed_and_none_is_closed_twice(text: str, closed: str) -> None:
    assert balanced(text) == closed
    assert isolated(text) == f"{OPEN}{closed}{CLOSE}"
