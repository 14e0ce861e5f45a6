"""The curves of a step say nothing that the table below them does not."""

from __future__ import annotations

from dataclasses import replace

from coach.coaching.stopping import nothing_told
from coach.web.pages.coaching.curves import curves

TOLD = replace(
    nothing_told("bed-made", "Make the bed", anew=False, waiting=False),
    entered=20,
    incidence=((2, 0.25, 0.0, 0.0, 0.0), (4, 0.5, 0.0, 0.0, 0.0)),
)
PARTLY = replace(TOLD, rest=10, incidence=((2, 0.25, 0.0, None, None), (4, 0.5, 0.0, None, None)))


def names(step: object) -> list[str]:
    found = curves(step)  # type: ignore[arg-type]
    return [name for name, _ in found.bands] if found else []


def test_those_who_did_not_end_are_drawn_as_still_at_it() -> None:
    assert names(TOLD) == ["settled", "open"]


def test_a_band_that_holds_hidden_ends_is_not_drawn_as_still_at_it() -> None:
    assert names(PARTLY) == ["settled", "rest"]


def test_where_every_end_by_day_is_hidden_nothing_is_drawn() -> None:
    hidden = replace(TOLD, rest=20, incidence=((1, None, 0.0, 0.0, None), (4, None, 0.0, 0.0, None)))
    assert curves(hidden) is None


def test_a_step_that_nobody_has_ended_is_drawn_as_still_at_it() -> None:
    assert names(replace(TOLD, incidence=((4, 0.0, 0.0, 0.0, 0.0),))) == ["open"]
