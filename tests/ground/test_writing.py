"""A use case writes, and what it answers with is what then stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.ground.writing import Decision, written
from coach.progress.log import Row, What
from habits.house import HOME, House
from progress.living import a_course

if TYPE_CHECKING:
    from coach.ground.situation import Situation

KEY = "what stands"


def away_today(where: Situation) -> bool:
    """Something made of the plan and of the days, remembered for the request."""
    return where.plan.once(KEY, lambda: where.away(where.today))


def test_what_was_made_of_the_days_before_a_write_does_not_outlive_it() -> None:
    house = House(a_course("bed")).begun().at(2)

    def pause(where: Situation) -> Decision[bool]:
        return Decision(away_today(where), log=[Row(where.today, What.PAUSE)])

    before, after = written(house.context, HOME, pause, lambda where, was_away: (was_away, away_today(where)))
    assert (before, after) == (False, True)


def test_a_decision_to_write_nothing_leaves_the_household_as_it_is() -> None:
    house = House(a_course("bed")).begun().at(2)
    version = house.store.version(HOME)
    assert written(house.context, HOME, lambda _: Decision("kept"), lambda _, value: value) == "kept"
    assert house.store.version(HOME) == version


def test_a_request_sent_again_writes_nothing_and_is_answered_with_what_stands() -> None:
    house = House(a_course("bed")).begun().at(2)

    def mark(where: Situation) -> Decision[None]:
        return Decision(None, log=[Row(where.today, What.KEPT, "bed")])

    for _ in range(2):
        marks = written(
            house.context, HOME, mark, lambda where, _: dict(where.standing.marks), request_id="tap"
        )
        assert marks == {"bed": "kept"}
    assert [row.what for row in house.rows() if row.step == "bed" and row.what is What.KEPT] == [What.KEPT]
