import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.course.digits import whole_number


@given(number=st.integers(0, 2000), zeros=st.integers(0, 10))
def test_a_number_is_read_up_to_the_greatest_whatever_zeros_stand_before_it(number: int, zeros: int) -> None:
    assert whole_number("0" * zeros + str(number), 1440) == (number if number <= 1440 else None)


@pytest.mark.parametrize(
    "text", ["", " 5", "-5", "+5", "5.0", "1_000", "\u0665", "\u00b2", "1e3", "9" * 5000]
)
def test_what_is_no_number_of_plain_digits_is_none(text: str) -> None:
    assert whole_number(text, 10**9) is None
