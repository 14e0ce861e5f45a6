"""Spells of any log agree with a second reading, and hold what follows from their words."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from hypothesis import given, settings

from coach.coaching.rules.following import saved_through
from coach.progress.journal import Version, journal
from property.as_tables import as_course, as_rows
from property.log_strategies import Case, cases
from property.plain_spells import PlainSpell, plain_spells

if TYPE_CHECKING:
    from coach.ground.spells import Spell

few = settings(max_examples=max(10, settings().max_examples // 3))


def spells_through(case: Case, last: date) -> list[Spell]:
    saved = saved_through(journal([Version(date.min, as_course(case.course))], as_rows(case.rows)), last)
    return list(saved.spells) if saved else []


@given(cases())
def test_the_spells_of_any_log_are_the_same_in_both_readings(case: Case) -> None:
    ours = [
        PlainSpell(one.step, one.entered_on, one.days, one.ending, one.ended_on)
        for one in spells_through(case, case.until)
    ]
    assert sorted(ours) == sorted(plain_spells(case.course, case.rows, case.until))


@few
@given(cases())
def test_a_spell_that_has_ended_stays_so_but_that_who_lapsed_may_have_left(case: Case) -> None:
    before = {one.step: one for one in spells_through(case, case.until - timedelta(days=15))}
    after = {one.step: one for one in spells_through(case, case.until)}
    for step, was in before.items():
        now = after[step]
        if was.ending == "open":
            assert (now.entered_on, now.digest) == (was.entered_on, was.digest)
            assert now.days >= was.days
        else:
            assert (now.days, now.ended_on) == (was.days, was.ended_on)
            assert now.ending in {was.ending, "left" if was.ending == "lapsed" else was.ending}


@few
@given(cases())
def test_as_of_sunday_is_what_was_to_be_seen_on_sunday_night(case: Case) -> None:
    sunday = case.until - timedelta(days=case.until.isoweekday() % 7)
    then = {one.step: (one.days, one.ending) for one in spells_through(case, sunday)}
    now = spells_through(case, case.until)
    assert {one.step: (one.sunday_days, one.sunday_ending) for one in now} == {
        one.step: then.get(one.step, (0, "open")) for one in now
    }
