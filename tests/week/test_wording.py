"""What a proposal of balance says for itself."""

from __future__ import annotations

from dataclasses import replace

from coach.week.rules.balance import propose
from coach.week.rules.burden import Movable, WeekLoad
from coach.week.wording import CUT_SHORT, OWN_PAGE, balance_text

JOBS = (Movable("rooms", 60, 0), Movable("linen", 30, 0))
FULL = WeekLoad((0,) * 7, (60, 30, 0, 0, 0, 0, 0), JOBS)
EVEN = WeekLoad((0,) * 7, (60,) * 7, JOBS[:1])


def test_a_proposal_says_what_it_would_bring() -> None:
    assert balance_text(propose(FULL)) == (
        "One job moves. Of the 30 minutes too many, none would be left. "
        "The fullest day would have 60 minutes; now it has 90."
    )
    assert balance_text(propose(EVEN)) == "No other days would make this week lighter than it is."


def test_a_week_too_full_that_no_other_days_would_help_is_told_what_would() -> None:
    tight = replace(EVEN, available=(30,) * 7)
    assert balance_text(propose(tight)) == (
        f"No other days would make this week lighter than it is. {OWN_PAGE}"
    )


def test_a_proposal_whose_time_was_up_claims_no_more_than_is_known() -> None:
    moving, staying = (replace(propose(week), proven=False) for week in (FULL, EVEN))
    assert balance_text(moving) == f"{balance_text(propose(FULL))} {CUT_SHORT}"
    assert balance_text(staying) == f"No days were found that would make this week lighter. {CUT_SHORT}"
