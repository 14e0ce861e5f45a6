"""The household's pace: what it can choose from, and what a choice does."""

from __future__ import annotations

import pytest

from coach.errors import Malformed, NotStarted
from coach.habits import path
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.household import comparing, data, pace
from coach.household.answers import Pace, PaceChoice
from coach.progress.log import Row, What
from habits.house import HOME, House
from progress.living import a_course, a_step, on

HEAD = "date,what,step,value\n"
COURSE = a_course("bed", a_step("cups", after=["bed"]), a_step("job", after=["cups"], waits=False))


def test_the_pace_in_force_and_what_each_one_means() -> None:
    assert pace.pace(House(COURSE).begun(pace="gentle").context, HOME) == Pace(
        "gentle",
        (
            PaceChoice(
                "standard",
                2,
                3,
                "A step settles once it is kept 2 of the last 3 times. "
                "With everything kept, a new step about every other day.",
            ),
            PaceChoice(
                "gentle",
                3,
                4,
                "A step settles once it is kept 3 of the last 4 times. "
                "With everything kept, a new step about once in three days.",
            ),
        ),
    )


def test_before_the_start_there_is_none() -> None:
    with pytest.raises(NotStarted):
        pace.pace(House(COURSE).context, HOME)
    with pytest.raises(NotStarted):
        pace.choose(House(COURSE).context, HOME, "gentle")


def test_a_choice_is_written_for_today_and_the_same_again_is_not() -> None:
    house = House(COURSE).begun()
    house.at(2)
    assert pace.choose(house.context, HOME, "gentle").pace == "gentle"
    assert pace.choose(house.context, HOME, "gentle").pace == "gentle"
    assert house.written() == ["2 pace gentle"]


@pytest.mark.parametrize("name", ["fast", "", "Standard"])
def test_a_pace_that_the_course_does_not_have_is_refused(name: str) -> None:
    house = House(COURSE).begun()
    with pytest.raises(Malformed, match=f"no pace “{name}”. Choose one of: standard, gentle"):
        pace.choose(house.context, HOME, name)
    assert house.written() == []


def test_the_list_of_today_stays_and_what_brings_the_next_step_follows() -> None:
    house = House(COURSE).begun()
    house.at(1).mark(1, "bed")
    before = today(house.context, HOME)
    pace.choose(house.context, HOME, "gentle")
    after = today(house.context, HOME)
    assert after.checklist == before.checklist
    assert "kept 3 of 4 days, it brings the next step" in " ".join(
        reason.text for reason in after.waiting_for
    )
    assert path.path(house.context, HOME).next == "cups"


def test_back_at_the_standard_pace_the_step_comes_the_day_after_and_not_at_once() -> None:
    house = House(COURSE).begun(pace="gentle")
    for day in (1, 2):
        house.at(day).mark(day, "bed")
    house.at(3)
    pace.choose(house.context, HOME, "standard")
    assert today(house.context, HOME).introduced is None
    house.at(4)
    # The third day closed with a miss; two of the latest three were kept all the same.
    assert today(house.context, HOME).introduced == "cups"


def test_what_has_settled_stays_settled_and_a_day_gone_by_is_as_it_was() -> None:
    house = House(COURSE).begun()
    for day in (1, 2):
        house.at(day).mark(day, "bed")
    house.at(5)
    before = [day_on(house.context, HOME, on(day)) for day in (1, 2, 3, 4)]
    pace.choose(house.context, HOME, "gentle")
    assert [day_on(house.context, HOME, on(day)) for day in (1, 2, 3, 4)] == before
    assert day_on(house.without_cache(), HOME, on(4)) == before[3]
    assert path.step(house.context, HOME, "bed").settled_on == on(2)


def test_a_changed_pace_is_exported_and_comes_back_in() -> None:
    house = House(COURSE).begun()
    house.at(3)
    pace.choose(house.context, HOME, "gentle")
    log = data.export(house.context, HOME)
    assert f"{on(3)},pace,,gentle" in log
    other = House(COURSE).at(3)
    assert data.load(other.context, HOME, log).rows == 4
    assert (data.export(other.context, HOME), pace.pace(other.context, HOME).pace) == (log, "gentle")


def test_a_row_of_a_pace_counts_among_what_would_be_lost_and_gained() -> None:
    now = comparing.Holding([Row(on(1), What.START), Row(on(3), What.PACE, value="gentle")], version=1)
    file = comparing.Holding([Row(on(1), What.START), Row(on(3), What.PACE, value="standard")])
    found = comparing.compare(now, file)
    assert (found.same, found.lost.rows, found.lost.marks, found.gained.rows) == (1, 1, 0, 1)


def test_a_log_of_an_older_course_keeps_its_pace_beside_a_step_that_left() -> None:
    house = House(catalogue=[a_step("dishes", 3, minutes=4)]).at(6)
    log = f"{HEAD}{on(1)},start,bed,\n{on(2)},kept,dishes,\n{on(3)},pace,,gentle\n"
    data.load(house.context, HOME, log)
    assert pace.pace(house.context, HOME).pace == "gentle"
    assert path.step(house.context, HOME, "dishes").own
