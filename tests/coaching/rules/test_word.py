"""Who may want a word: three to six quiet days, or a step practised for ten outcomes."""

from dataclasses import replace
from datetime import date

import pytest

from coach.coaching.rules.word import Long, Quiet, reasons
from coach.ground.spells import Followed, Spell

MARKED = date(2027, 1, 25)
FOLLOWED = Followed(date(2027, 1, 29), date(2027, 1, 4), "ramping", MARKED, 4, ())
SPELL = Spell(
    "beds", "d", date(2027, 1, 10), 12, "open", None, "practising", None, 10, 9, "open"
)  # fmt: skip


@pytest.mark.parametrize(("days", "said"), [(0, False), (2, False), (3, True), (6, True), (7, False)])
def test_three_to_six_days_with_a_list_and_without_a_mark(days: int, *, said: bool) -> None:
    found = list(reasons(replace(FOLLOWED, due_since=days), ()))
    assert found == ([Quiet(days, MARKED)] if said else [])


@pytest.mark.parametrize("phase", ["paused", "lapsed"])
def test_who_is_away_is_left_alone(phase: str) -> None:
    assert not list(reasons(replace(FOLLOWED, phase=phase), (SPELL,)))


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({}, True),
        ({"outcomes": 9}, False),
        ({"state": "settled", "ending": "settled"}, False),
        ({"state": "set-aside", "ending": "set aside"}, False),
        ({"state": "resting"}, False),
    ],
)
def test_a_step_that_is_practised_still_after_ten_outcomes(changed: dict[str, object], *, said: bool) -> None:
    spell = replace(SPELL, **changed)  # type: ignore[arg-type]
    found = list(reasons(replace(FOLLOWED, due_since=0), (spell,)))
    assert found == ([Long("beds", spell.outcomes, spell.entered_on)] if said else [])


def test_the_days_come_before_the_steps() -> None:
    kinds = [type(one) for one in reasons(FOLLOWED, (SPELL, replace(SPELL, step="keys")))]
    assert kinds == [Quiet, Long, Long]
