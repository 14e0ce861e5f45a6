import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.course.slugs import free_slug, slug


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("Clear the door shelf", "clear-the-door-shelf"),
        ("Gran's café", "grans-cafe"),
        ("Gran\u2019s café", "grans-cafe"),
        ("Straße 5", "strasse-5"),
        (" -- Water, plants! ", "water-plants"),
        ("猫", ""),
    ],
)
def test_a_slug_is_what_a_text_says_in_plain_letters(text: str, plain: str) -> None:
    assert slug(text) == plain


def test_a_slug_that_is_taken_gets_the_first_free_number() -> None:
    assert free_slug("Bed made", {"bed-made", "bed-made-2"}, "step") == "bed-made-3"


def test_what_has_no_plain_letter_is_called_after_its_kind() -> None:
    assert free_slug("猫", {"step"}, "step") == "step-2"


@given(text=st.text(max_size=120), longest=st.integers(8, 60))
def test_a_slug_is_no_longer_than_wanted_and_ends_on_no_hyphen(text: str, longest: int) -> None:
    found = free_slug(text, (), "step", longest)
    assert 1 <= len(found) <= longest
    assert found == found.strip("-")
