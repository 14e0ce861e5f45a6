"""One write of a use case: what follows it is what is then stored, and a request is taken once."""

from __future__ import annotations

from dataclasses import replace

from coach.ground.plan_rows import PlanRow
from coach.ground.situation import Situation, looking
from coach.ground.writing import Decision, to_log, written
from coach.habits.day import day_after
from coach.progress.log import Row, What
from habits.house import HOME, House
from progress.living import on


def test_a_request_seen_before_writes_neither_log_nor_plan_nor_settings() -> None:
    house = House().begun()

    def decide(plan: str, week: str) -> Decision[None]:
        with house.store.reading(HOME) as reading:
            home = reading.household()
        assert home is not None
        rows = [Row(on(1), What.KEPT, "bed")]
        new_home = replace(home, week_starts=week)
        return Decision(None, rows, [PlanRow(on(1), "opened", "desk", plan)], new_home)

    first = decide("1", "monday")
    # The first time the plan has nothing to write, so only the log knows the request.
    written(house.asked("one"), HOME, lambda _: replace(first, plan=()), day_after)
    second = decide("2", "sunday")
    written(house.asked("one"), HOME, lambda _: second, day_after)
    with looking(house.context, HOME) as where:
        assert (where.value("opened", "desk"), where.home.week_starts) == (None, "monday")
    assert house.written() == ["1 kept bed"]


def test_rows_older_than_the_saved_standing_are_folded_into_the_answer() -> None:
    house = House().begun()
    for day in range(1, 41):
        house.at(day)
        house.mark(day, "bed")
    assert house.saved()
    rows = [Row(on(day), What.MISSED, "bed") for day in range(20, 24)]
    answer = written(house.context, HOME, lambda _: to_log(rows), _kept_of_bed)
    assert answer == 35
    with looking(house.without_cache(), HOME) as where:
        assert _kept_of_bed(where, None) == answer


def test_what_was_worked_out_before_a_pause_is_worked_out_anew_after_it() -> None:
    house = House().begun()

    def is_away(where: Situation) -> bool:
        return where.plan.once("away", lambda: where.away(on(5)))

    def decide(where: Situation) -> Decision[bool]:
        return to_log([Row(on(4), What.PAUSE)], is_away(where))

    found = written(house.context, HOME, decide, lambda where, before: (before, is_away(where)))
    assert found == (False, True)


def _kept_of_bed(where: Situation, _: None) -> int:
    return where.standing.steps["bed"].kept
