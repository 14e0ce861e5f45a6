"""Balance: a proposal that changes nothing, accepted, stale, or undone."""

from __future__ import annotations

from functools import partial
from itertools import product
from time import perf_counter

import pytest

from coach.course.rule import WEEKDAYS
from coach.errors import NotEditable
from coach.habits import pauses, steps
from coach.household import settings
from coach.week import balance as balancing
from coach.week import moves as week_moves
from coach.week.days import set_available
from coach.week.rules import balance as core
from habits import marking
from habits.house import HOME, House
from progress.living import a_course, a_step, on
from progress.living import marks as marks_of
from week.house import day_of, seen, settled

TUESDAY = 23  # 26 January 2027; rooms is due on 27 (Saturday), filter on 26, accounts on 28
NEXT_WEEK = "2027-W05"
PLENTY = dict.fromkeys(("MO", "TU", "WE", "TH", "FR", "SA", "SU"), 30)


def test_what_is_marked_today_is_neither_offered_other_days_nor_proposed() -> None:
    house = settled(27)
    set_available(house.context, HOME, {**PLENTY, "SU": 90})
    assert "rooms" in {job.step for job in balancing.balance(house.context, HOME, NEXT_WEEK).moves}
    marking.mark(house.context, HOME, on(27), "rooms", "kept")
    assert "rooms" not in {job.step for job in balancing.balance(house.context, HOME, NEXT_WEEK).moves}
    rooms = next(job for job in day_of(house, 34, NEXT_WEEK).jobs if job.step == "rooms")
    assert (rooms.days, rooms.held) == ((), True)


def test_balance_is_a_proposal_and_changes_nothing() -> None:
    house = settled(TUESDAY)
    set_available(house.context, HOME, {**PLENTY, "SA": 20, "TH": 90})
    before, week = house.rows(), seen(house)
    found = balancing.balance(house.context, HOME)
    assert [(move.step, move.on, move.to) for move in found.moves] == [("rooms", on(27), on(25))]
    assert (found.before.overload, found.after.overload, found.proven) == (54, 7, True)
    assert (house.rows(), seen(house)) == (before, week)


def test_an_accepted_proposal_gives_the_week_it_showed_and_is_undone_at_once() -> None:
    house = settled(TUESDAY)
    set_available(house.context, HOME, {**PLENTY, "SU": 90})
    found = balancing.balance(house.context, HOME, NEXT_WEEK)
    balancing.accept(house.context, HOME, NEXT_WEEK, {move.step: move.to for move in found.moves})
    assert [day.minutes for day in seen(house, NEXT_WEEK).days] == [day.minutes for day in found.after.days]
    assert {job.step for job in seen(house).moved} == {move.step for move in found.moves}
    assert balancing.balance(house.context, HOME, NEXT_WEEK).moves == ()
    week_moves.undo(house.context, HOME)
    assert [day.minutes for day in seen(house, NEXT_WEEK).days] == [day.minutes for day in found.before.days]


def test_a_proposal_is_as_good_as_the_best_of_all_that_could_be() -> None:
    house = settled(TUESDAY)
    set_available(house.context, HOME, {**PLENTY, "WE": 40})
    found = balancing.balance(house.context, HOME, NEXT_WEEK)
    week = seen(house, NEXT_WEEK)
    fixed = [day.minutes - sum(job.minutes for job in day.jobs) for day in week.days]
    room = [day.available or 0 for day in week.days]
    jobs = [(job.minutes, place) for place, day in enumerate(week.days) for job in day.jobs]

    def burden(places: tuple[int, ...]) -> tuple[int, int, int]:
        loads = list(fixed)
        for (minutes, _), place in zip(jobs, places, strict=True):
            loads[place] += minutes
        over = sum(max(0, load - most) for load, most in zip(loads, room, strict=True))
        moved = sum(place != own for (_, own), place in zip(jobs, places, strict=True))
        return over, max(loads), moved

    best = min(burden(places) for places in product(range(7), repeat=len(jobs)))
    assert (found.after.overload, found.after.heaviest, len(found.moves)) == best


@pytest.mark.parametrize(
    ("repeats", "name"),
    [("FREQ=WEEKLY;INTERVAL=2;BYDAY=SU", "2027-W06"), ("FREQ=MONTHLY;BYDAY=-1SU", "2027-W05")],
)
def test_the_longest_job_leaves_a_full_day_whatever_its_rule(repeats: str, name: str) -> None:
    """Weekdays without minutes said have no limit, so this week need not be too full."""
    sizes = {
        "bed": (4, "FREQ=DAILY"),
        "plants": (33, "FREQ=WEEKLY;BYDAY=TU,TH,SA"),
        "stove": (3, "FREQ=WEEKLY;BYDAY=SU;WKST=SU"),
        "rooms": (90, repeats),
        "linen": (30, "FREQ=WEEKLY;BYDAY=SU"),
        "desk": (15, "FREQ=WEEKLY;BYDAY=WE"),
        "bags": (10, "FREQ=WEEKLY;BYDAY=TH"),
    }
    house = House(
        a_course(*(a_step(step, minutes=minutes, repeats=rule) for step, (minutes, rule) in sizes.items()))
    ).begun()
    with house.store.writing(HOME) as writing:
        writing.append(marks_of("kept", range(1, 22), *sizes), house.now)
    settings.change(house.at(22).context, HOME, week_starts="sunday")
    set_available(house.context, HOME, {"TU": 90, "SA": 60, "SU": 30})
    found = balancing.balance(house.context, HOME, name)
    assert [day.minutes for day in found.before.days] == [127, 4, 37, 19, 47, 4, 37]
    assert (found.before.overload, found.after.overload, found.after.heaviest) == (97, 0, 94)
    assert [(move.step, move.to.weekday()) for move in found.moves] == [("rooms", 0), ("linen", 1)]
    balancing.accept(house.context, HOME, name, {move.step: move.to for move in found.moves})
    assert [day.minutes for day in seen(house, name).days] == [7, 94, 67, 19, 47, 4, 37]


def seventy_jobs() -> House:
    """A week with so many jobs, of odd minutes, on two of its days."""
    names = [f"job{number}" for number in range(70)]
    repeats = [f"FREQ=WEEKLY;BYDAY={WEEKDAYS[number % 2]}" for number in range(70)]
    minutes = [(37 * number) % 113 + 7 for number in range(70)]
    parts = zip(names, repeats, minutes, strict=True)
    house = House(a_course(*(a_step(name, repeats=rule, minutes=most) for name, rule, most in parts))).begun()
    with house.store.writing(HOME) as writing:
        writing.append(marks_of("kept", (1,), *names), house.now)
    minutes_of = {"MO": 330, "TU": 310, "WE": 290, "TH": 350, "FR": 270, "SU": 400}
    set_available(house.context, HOME, minutes_of)
    return house.at(2)


def test_a_week_of_seventy_jobs_is_balanced_in_time() -> None:
    house = seventy_jobs()
    begun = perf_counter()
    found = balancing.balance(house.context, HOME, "2027-W02")
    assert perf_counter() - begun < 6
    assert found.after.overload < found.before.overload
    assert ("may be a better week" in found.text) != found.proven


def test_a_search_that_was_cut_short_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    house = seventy_jobs()
    monkeypatch.setattr(core, "propose", partial(core.propose, seconds=0))
    found = balancing.balance(house.context, HOME, "2027-W02")
    assert (found.proven, found.moves, found.after) == (False, (), found.before)
    assert found.text == (
        "No days were found that would make this week lighter. The search was ended when its time was up, so "
        "there may be a better week still."
    )


def test_days_gone_by_are_neither_weighed_nor_proposed() -> None:
    house = settled(TUESDAY)
    found = balancing.balance(house.at(26).context, HOME)
    assert [day.date for day in found.before.days] == [on(26), on(27), on(28)]
    assert all(move.to >= on(26) for move in found.moves)


def test_no_job_is_proposed_for_a_day_away() -> None:
    house = settled(TUESDAY)
    pauses.pause(house.context, HOME, on(29), on(33))
    found = balancing.balance(house.context, HOME, NEXT_WEEK)
    assert all(move.to not in {on(day) for day in range(29, 34)} for move in found.moves)
    assert [day.minutes for day in found.after.days[:5]] == [0] * 5


def test_a_pause_called_off_is_no_time_away_and_another_one_still_is() -> None:
    house = settled(TUESDAY)
    pauses.pause(house.context, HOME, on(29), on(31))
    pauses.pause(house.context, HOME, on(33), on(34))
    pauses.call_off(house.context, HOME, on(29))
    away = [day.date for day in seen(house, NEXT_WEEK).days if day.rest == "away"]
    assert away == [on(33), on(34)]
    set_available(house.context, HOME, {**dict.fromkeys(PLENTY, 0), "MO": 200})
    found = balancing.balance(house.context, HOME, NEXT_WEEK)
    assert {move.to for move in found.moves} == {on(29)}


def test_an_even_week_has_nothing_to_propose() -> None:
    house = settled(TUESDAY)
    for step in ("rooms", "desk", "bags", "filter", "accounts"):
        steps.set_aside(house.context, HOME, step)
    found = balancing.balance(house.context, HOME)
    assert (found.moves, found.before) == ((), found.after)
    assert "No other days" in found.text


def test_a_proposal_that_has_gone_stale_is_refused_and_nothing_moves() -> None:
    house = settled(TUESDAY)
    set_available(house.context, HOME, {**PLENTY, "TH": 90})
    found = balancing.balance(house.context, HOME)
    moves = {move.step: move.to for move in found.moves}
    assert moves == {"rooms": on(25)}
    set_available(house.context, HOME, {"TH": 0, "SA": 90})
    before = house.rows()
    with pytest.raises(NotEditable, match="heavier"):
        balancing.accept(house.context, HOME, None, moves)
    week_moves.move(house.context, HOME, "rooms", on(27), on(24))
    steps.set_aside(house.context, HOME, "rooms")
    with pytest.raises(NotEditable, match="has changed"):
        balancing.accept(house.context, HOME, None, moves)
    assert house.rows()[: len(before)] == before
    assert len(house.rows()) == len(before) + 2


def test_a_week_gone_by_is_not_balanced() -> None:
    with pytest.raises(NotEditable, match="over"):
        balancing.balance(settled(TUESDAY).context, HOME, "2027-W03")
