"""The day cards as PDF: two or four to a page, with marks to cut along, in type that is never too small."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

import pytest

from coach.paper.answers import Card, CardLine, Cards
from coach.paper.cards import cards as cards_of
from coach.press.cards import cards
from coach.press.printed import Printed, TooLong
from habits.house import HOME
from press.made import CAUTION, TITLES
from press.reading import about, faults, pages, set_well, size_of_first_page, text
from week.house import settled

if TYPE_CHECKING:
    from pathlib import Path

MOST_TYPE = 15


def a_line(at: int) -> CardLine:
    _, title, cue, minutes = TITLES[at]
    return CardLine(f"s{at}", title, cue, "one of it", minutes, "every Tuesday", CAUTION if at else None)


def some(number: int, per_page: Literal[2, 4] = 4, lines: int = 5) -> Cards:
    card = Card("morning", "Morning", tuple(a_line(at) for at in range(lines)))
    return Cards((card,) * number, "a4", per_page)


def made_of(found: Cards) -> Printed:
    made = cards(found)
    assert isinstance(made, Printed)
    return made


@pytest.mark.parametrize(
    ("number", "per_page", "count", "size"),
    [(1, 4, 1, (210.0, 297.0)), (5, 4, 2, (210.0, 297.0)), (3, 2, 2, (297.0, 210.0))],
)
def test_so_many_cards_share_a_page(
    number: int, per_page: Literal[2, 4], count: int, size: tuple[float, float], tmp_path: Path
) -> None:
    made = made_of(some(number, per_page))
    assert (pages(made.pdf), made.pages, size_of_first_page(made.pdf)) == (count, count, size)
    assert faults(made.pdf, tmp_path) == []
    assert about(made.pdf) == ("Day cards", "en-GB")


def test_a_card_says_what_when_and_how_small() -> None:
    said = text(made_of(some(1)).pdf)
    for words in (
        "Morning",
        "Openthewindows",
        "everyTuesday·aftergettingup",
        "Smallversion:oneofit",
        "Takecare:",
    ):
        assert words in said


def test_a_long_list_is_set_smaller_and_one_beyond_all_measure_says_so() -> None:
    short, long = made_of(some(1, lines=2)), made_of(some(1, lines=9))
    assert short.points == MOST_TYPE > long.points >= 8
    assert set_well(long.pdf, 8) == []
    endless = replace(some(1).cards[0], lines=tuple(a_line(1) for _ in range(40)))
    assert isinstance(cards(Cards((endless,), "a4", 4)), TooLong)


def test_no_card_is_a_page_that_says_so() -> None:
    assert "Nothingisonthelist" in text(made_of(some(0)).pdf)


def test_a_real_household_has_its_cards() -> None:
    found = cards_of(settled(24).context, HOME)
    said = text(made_of(found).pdf)
    assert found.cards
    assert [card.title for card in found.cards if card.title not in said] == []
