"""What a coach, and a household that shares, reads in words."""

from __future__ import annotations

import pytest

from coach.coaching.wording import weeks_text


@pytest.mark.parametrize(
    ("phases", "said"),
    [
        ([], ""),
        (["ramping"], "1 ramping"),
        (["ramping", "ramping", "ramping", "steady"], "1 to 3 ramping, 4 steady"),
        (["ramping", "lapsed", "ramping", "ramping"], "1 ramping, 2 lapsed, 3 to 4 ramping"),
    ],
)
def test_weeks_in_the_same_phase_are_said_as_one(phases: list[str], said: str) -> None:
    assert weeks_text(phases) == said
