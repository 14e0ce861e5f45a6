"""Questions that share their words lie together, and what a coach said by hand stands."""

import pytest

from coach.coaching.rules.alike import Said, are_alike, piles, words

BABY = Said("1", "How do I keep the evening round with a new baby?")
INFANT = Said("2", "With the baby the evening round does not work. What now?")
PAINT = Said("3", "May I wipe lime paint with vinegar?")


def test_what_is_about_the_same_lies_together_and_the_rest_by_itself() -> None:
    assert piles([BABY, PAINT, INFANT]) == (("1", "2"), ("3",))


def test_the_order_is_that_of_the_asking() -> None:
    assert piles([PAINT, INFANT, BABY]) == (("3",), ("2", "1"))


@pytest.mark.parametrize("order", [(BABY, INFANT), (INFANT, BABY)])
@pytest.mark.parametrize("which", [0, 1])
def test_what_stands_apart_is_joined_to_none_and_joined_by_none(order: tuple[Said, Said], which: int) -> None:
    asked = [Said(one.id, one.text, apart=place == which) for place, one in enumerate(order)]
    assert len(piles(asked)) == 2


def test_what_was_put_together_by_hand_lies_together_however_it_is_worded() -> None:
    by_hand = Said("3", PAINT.text, together="1")
    assert piles([by_hand, BABY]) == (("1", "3"),)


def test_by_hand_one_that_stands_apart_is_joined_too() -> None:
    asked = [Said("1", BABY.text, apart=True), INFANT, Said("3", PAINT.text, together="1")]
    assert piles(asked) == (("1", "3"), ("2",))


def test_one_put_together_with_one_put_together_comes_along() -> None:
    asked = [Said("1", PAINT.text, together="2"), Said("2", "Salt", together="3"), Said("3", "Pepper")]
    assert piles(asked) == (("3", "2", "1"),)


def test_a_ring_and_what_is_not_there_any_more_lose_no_question() -> None:
    ring = [
        Said("1", "Salt", together="2"),
        Said("2", "Pepper", together="1"),
        Said("3", "Oil", together="9"),
    ]
    found = piles(ring)
    assert sorted(one for pile in found for one in pile) == ["1", "2", "3"]


def test_one_shared_word_is_too_little_and_half_of_them_is_enough() -> None:
    assert not are_alike(words("vinegar"), words("vinegar"))
    assert are_alike(words("lime vinegar salt"), words("lime vinegar glass wood chalk"))
    assert not are_alike(words("lime vinegar salt"), words("lime vinegar glass wood chalk brass"))


def test_endings_capitals_and_widths_make_no_other_word_and_plain_words_say_nothing() -> None:
    assert words("Counting") == words("\uff23ounting") == words("counts  COUNTED")
    assert words("How would you do it, and why?") == frozenset()


@pytest.mark.parametrize(
    ("many", "one"),
    [
        ("beds", "bed"),
        ("trays", "tray"),
        ("jars", "jar"),
        ("babies", "baby"),
        ("dishes", "dish"),
        ("boxes", "box"),
        ("pies", "pie"),
        ("cases", "case"),
    ],
)
def test_one_and_several_of_a_thing_are_one_word(many: str, one: str) -> None:
    assert words(many) == words(one) != frozenset()


def test_an_s_that_is_no_plural_stays() -> None:
    assert words("moss cactus bus gas") == {"moss", "cactu", "bus", "gas"}


def test_a_bed_of_two_floors_is_one_whether_there_are_several() -> None:
    asked = [Said("1", "What of bunk beds?"), PAINT, Said("2", "How does one make a bunk bed?")]
    assert piles(asked) == (("1", "2"), ("3",))
