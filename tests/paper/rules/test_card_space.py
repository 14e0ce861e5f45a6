"""How many lines a card holds."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.paper.rules.cards import filled, space

HEIGHTS = st.lists(st.floats(0.5, 80), max_size=40)


@settings(max_examples=60)
@given(HEIGHTS, st.floats(20, 100))
def test_every_line_stands_on_one_card_in_its_order_and_no_card_is_too_full(
    heights: list[float], room: float
) -> None:
    cards = list(filled(list(enumerate(heights)), lambda line: line[1], room))
    assert [line for card in cards for line in card] == list(enumerate(heights))
    assert all(len(card) == 1 or sum(high for _, high in card) <= room + 1e-6 for card in cards)


@settings(max_examples=60)
@given(HEIGHTS, st.floats(20, 100))
def test_a_card_is_begun_only_when_the_one_before_is_full(heights: list[float], room: float) -> None:
    cards = list(filled(heights, float, room))
    for card, following in pairwise(cards):
        assert sum(card) + following[0] > room - 1e-6


def test_a_longer_text_is_higher_and_so_is_one_in_wide_letters() -> None:
    card = space("a4", 4)
    words, wide = "Wipe the table", "\u98df\u5353\u3092\u62ed\u304f" * 5
    assert card.takes(words, ()) < card.takes(words * 4, ()) < card.takes(words * 4, (words,))
    assert card.takes("x" * len(wide), ()) < card.takes(wide, ())


def test_a_card_of_two_to_a_page_is_larger_than_one_of_four_on_either_paper() -> None:
    for paper in ("a4", "letter"):
        two, four = space(paper, 2), space(paper, 4)
        assert two.width > four.width
        assert two.height > four.height


def test_a_quarter_of_a_page_is_as_large_as_its_paper_says() -> None:
    quarter = space("a4", 4)
    assert (round(quarter.width, 1), round(quarter.height, 1)) == (87.0, 115.5)
