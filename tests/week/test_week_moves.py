"""Jobs moved to other days, balance as a proposal, and the way back."""

from __future__ import annotations

from functools import partial
from itertools import product
from time import perf_counter

import pytest

from coach.course.rule import WEEKDAYS
from coach.errors import Malformed, NotEditable, Unknown
from coach.habits import marks, path, pauses, steps
from coach.household import settings
from coach.progress.replay import replay
from coach.week import available
from coach.week import balance as balancing
from coach.week import moves as week_moves
from coach.week.rules import balance as core
from habits.house import HOME, House
from progress.living import a_course, a_step, on
from progress.living import marks as marks_of
from week.weekly import day_of, jobs_of, seen, settled

TUESDAY = 23  # 26 January 2027; rooms is due on 27 (Saturday), filter on 26, accounts on 28
NEXT_WEEK = "2027-W05"
PLENTY = dict.fromkeys(("MO", "TU", "WE", "TH", "FR", "SA", "SU"), 30)


def rule(house: House, step: str) -> str:
    return path.step(house.context, HOME, step).repeats


def move(house: House, step: str, day: int, to: int) -> str:
    return week_moves.move(house.context, HOME, step, on(day), on(to))


def test_a_moved_job_comes_on_its_new_day_in_every_week() -> None:
    house = settled(TUESDAY)
    assert move(house, "rooms", 27, 25) == "2027-W04"
    assert rule(house, "rooms") == "FREQ=WEEKLY;BYDAY=TH"
    assert [jobs_of(day_of(house, day)) for day in (25, 27)] == [[("rooms", None)], []]
    assert jobs_of(day_of(house, 32, NEXT_WEEK)) == [("rooms", None)]
    assert house.written()[-1] == '23 adjust rooms {"repeats":"FREQ=WEEKLY;BYDAY=TH"}'


def test_a_job_moved_to_a_day_gone_by_comes_from_the_next_week_on() -> None:
    house = settled(TUESDAY)
    move(house, "rooms", 27, 22)
    (moved,) = seen(house).moved
    assert (moved.step, moved.repeats_text, moved.next) == ("rooms", "every Monday", on(29))
    assert all("rooms" not in {job.step for job in day.jobs} for day in seen(house).days)


def test_every_other_week_stays_every_other_week() -> None:
    house = settled(TUESDAY)
    move(house, "bags", 35, 30)
    assert rule(house, "bags") == "FREQ=WEEKLY;INTERVAL=2;BYDAY=TU"
    assert ("bags", None) in jobs_of(day_of(house, 30, NEXT_WEEK))
    assert ("bags", None) not in jobs_of(day_of(house, 37, "2027-W06"))


def fortnightly_in_sunday_weeks() -> House:
    """A job of every other Sunday, introduced on Thursday, day 4; the household's weeks begin on Sunday."""
    bags = a_step("bags", repeats="FREQ=WEEKLY;INTERVAL=2;BYDAY=SU", waits=False)
    house = House(a_course(a_step("bed"), bags)).at(4).begun("bags").at(18)
    settings.begin_weeks_on(house.context, HOME, "sunday")
    return house


@pytest.mark.parametrize("to", range(22, 28))
def test_every_other_week_a_job_moved_within_a_sunday_week_comes_on_the_day_chosen(to: int) -> None:
    house = fortnightly_in_sunday_weeks()
    move(house, "bags", 21, to)
    coming = [f"2027-W{week:02}" for week in range(4, 8)]
    falling = [day.date for name in coming for day in seen(house, name).days if day.jobs]
    assert falling == [on(to), on(to + 14)]
    week_moves.undo(house.context, HOME)
    assert rule(house, "bags") == "FREQ=WEEKLY;INTERVAL=2;BYDAY=SU"


def test_a_job_moved_to_the_weekday_it_was_introduced_on_is_due_there_as_it_was_shown() -> None:
    house = fortnightly_in_sunday_weeks()
    move(house, "bags", 21, 25)
    assert rule(house, "bags") == "DTSTART:20261228 RRULE:FREQ=WEEKLY;INTERVAL=2;BYDAY=TH"
    rows = [*house.rows(), *marks_of("kept", range(5, 60), "bed", "bags")]
    due = [day for day in range(19, 60) if "bags" in replay(house.shelf.course(""), rows, on(day)).checklist]
    assert due == [25, 39, 53]


def test_a_move_back_to_the_old_day_is_one_tap() -> None:
    house = settled(TUESDAY)
    move(house, "rooms", 27, 25)
    week_moves.undo(house.context, HOME)
    assert rule(house, "rooms") == "FREQ=WEEKLY;BYDAY=SA"
    assert seen(house).moved == ()
    with pytest.raises(NotEditable, match="No move is left"):
        week_moves.undo(house.context, HOME)


def test_a_job_changed_again_since_is_left_as_it_is() -> None:
    house = settled(TUESDAY)
    move(house, "rooms", 27, 25)
    steps.adjust(house.context, HOME, "rooms", {"repeats": "FREQ=WEEKLY;BYDAY=FR"})
    assert seen(house).moved == ()
    with pytest.raises(NotEditable):
        week_moves.undo(house.context, HOME)


def test_undoing_is_offered_for_a_week() -> None:
    house = settled(TUESDAY)
    move(house, "rooms", 27, 25)
    assert seen(house.at(TUESDAY + 6)).moved
    assert not seen(house.at(TUESDAY + 7)).moved


def test_a_job_marked_today_is_not_moved_from_under_its_mark() -> None:
    house = settled(TUESDAY)
    marks.mark(house.context, HOME, on(TUESDAY), "desk", "kept")
    before = house.rows()
    with pytest.raises(NotEditable, match="marked today"):
        move(house, "desk", TUESDAY, 25)
    assert house.rows() == before
    assert day_of(house, TUESDAY).jobs[0].days == ()


def test_what_is_marked_today_is_neither_offered_other_days_nor_proposed() -> None:
    house = settled(27)
    available.set_available(house.context, HOME, {**PLENTY, "SU": 90})
    assert "rooms" in {job.step for job in balancing.balance(house.context, HOME, NEXT_WEEK).moves}
    marks.mark(house.context, HOME, on(27), "rooms", "kept")
    assert "rooms" not in {job.step for job in balancing.balance(house.context, HOME, NEXT_WEEK).moves}
    rooms = next(job for job in day_of(house, 34, NEXT_WEEK).jobs if job.step == "rooms")
    assert (rooms.days, rooms.held) == ((), True)


@pytest.mark.parametrize(
    ("step", "day", "to", "error", "said"),
    [
        ("rooms", 20, 18, NotEditable, "can only be read"),
        ("rooms", 27, 32, Malformed, "not in the week"),
        ("rooms", 25, 27, Malformed, "does not fall on 2027-01-28"),
        ("rooms", 27, 27, NotEditable, "cannot be moved to Saturday"),
        ("accounts", 28, 27, NotEditable, "the last day of every month, which cannot be moved"),
        ("bed", 24, 25, Unknown, "more often than weekly"),
        ("moon", 24, 25, Unknown, "no step “moon”"),
    ],
)
def test_a_move_that_cannot_be_says_why_and_writes_nothing(
    step: str, day: int, to: int, error: type[Exception], said: str
) -> None:
    house = settled(TUESDAY)
    before = house.rows()
    with pytest.raises(error, match=said):
        move(house, step, day, to)
    assert house.rows() == before


def test_the_days_offered_are_those_a_job_can_go_to() -> None:
    house = settled(TUESDAY)
    (rooms,) = day_of(house, 27).jobs
    assert rooms.days == tuple(on(day) for day in range(22, 29) if day != 27)
    assert day_of(house, 28).jobs[0].days == ()  # the last day of the month is no weekday
    for to in rooms.days:
        week_moves.move(house.context, HOME, "rooms", on(27), to)
        week_moves.undo(house.context, HOME)


def test_balance_is_a_proposal_and_changes_nothing() -> None:
    house = settled(TUESDAY)
    available.set_available(house.context, HOME, {**PLENTY, "SA": 20, "TH": 90})
    before, week = house.rows(), seen(house)
    found = balancing.balance(house.context, HOME)
    assert [(move.step, move.on, move.to) for move in found.moves] == [("rooms", on(27), on(25))]
    assert (found.before.overload, found.after.overload, found.proven) == (54, 7, True)
    assert (house.rows(), seen(house)) == (before, week)


def test_an_accepted_proposal_gives_the_week_it_showed_and_is_undone_at_once() -> None:
    house = settled(TUESDAY)
    available.set_available(house.context, HOME, {**PLENTY, "SU": 90})
    found = balancing.balance(house.context, HOME, NEXT_WEEK)
    balancing.accept(house.context, HOME, NEXT_WEEK, {move.step: move.to for move in found.moves})
    assert [day.minutes for day in seen(house, NEXT_WEEK).days] == [day.minutes for day in found.after.days]
    assert {job.step for job in seen(house).moved} == {move.step for move in found.moves}
    assert balancing.balance(house.context, HOME, NEXT_WEEK).moves == ()
    week_moves.undo(house.context, HOME)
    assert [day.minutes for day in seen(house, NEXT_WEEK).days] == [day.minutes for day in found.before.days]


def test_a_proposal_is_as_good_as_the_best_of_all_that_could_be() -> None:
    house = settled(TUESDAY)
    available.set_available(house.context, HOME, {**PLENTY, "WE": 40})
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
    settings.begin_weeks_on(house.at(22).context, HOME, "sunday")
    available.set_available(house.context, HOME, {"TU": 90, "SA": 60, "SU": 30})
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
    available.set_available(house.context, HOME, minutes_of)
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
    monkeypatch.setattr(core, "balance", partial(core.balance, seconds=0))
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
    available.set_available(house.context, HOME, {**dict.fromkeys(PLENTY, 0), "MO": 200})
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
    available.set_available(house.context, HOME, {**PLENTY, "TH": 90})
    found = balancing.balance(house.context, HOME)
    moves = {move.step: move.to for move in found.moves}
    assert moves == {"rooms": on(25)}
    available.set_available(house.context, HOME, {"TH": 0, "SA": 90})
    before = house.rows()
    with pytest.raises(NotEditable, match="heavier"):
        balancing.accept(house.context, HOME, None, moves)
    move(house, "rooms", 27, 24)
    steps.set_aside(house.context, HOME, "rooms")
    with pytest.raises(NotEditable, match="has changed"):
        balancing.accept(house.context, HOME, None, moves)
    assert house.rows()[: len(before)] == before
    assert len(house.rows()) == len(before) + 2


def test_a_week_gone_by_is_not_balanced() -> None:
    with pytest.raises(NotEditable, match="over"):
        balancing.balance(settled(TUESDAY).context, HOME, "2027-W03")
