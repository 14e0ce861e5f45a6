"""The week sheet as an answer: its boxes, jobs, areas, dinners, dues, in weeks gone by, now and to come."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from areas.house import AreaHouse
from coach.desk import dues, todos
from coach.desk.dues import TypedDue
from coach.errors import Malformed, NotStarted, OutOfRange
from coach.habits import pauses
from coach.habits.day import today
from coach.household import settings
from coach.kitchen import dinners
from coach.paper.answers import SheetChoices
from coach.paper.choices import choices, choose, chosen
from coach.paper.sheet import as_chosen, sheet, title
from habits.house import HOME, House
from kitchen.cooking import a_dinner, plan
from progress.living import on
from week.house import settled

if TYPE_CHECKING:
    from coach.paper.answers import Sheet, SheetLine

# Day 22 is Monday 25 January 2027, the first of the week 2027-W04.
MONDAY = 22
WITHOUT_MARKS = {0x2068: None, 0x2069: None}
"""Takes the marks away that keep the direction of somebody's words to themselves."""


def seen(house: House, week: str | None = None) -> Sheet:
    """A week's sheet as the household sees it."""
    return sheet(house.context, HOME, week)


def line(found: Sheet, step: str) -> SheetLine:
    """One of its lines."""
    return next(one for one in found.lines if one.step == step)


def test_a_box_is_empty_until_its_line_is_marked_and_then_holds_the_mark() -> None:
    house = settled(MONDAY + 2, unmarked=frozenset({(MONDAY + 1, "bed")}))
    assert line(seen(house), "bed").boxes == ("kept", *["open"] * 6)
    house.mark(MONDAY + 1, "bed", "missed")
    assert line(seen(house), "bed").boxes == ("kept", "missed", *["open"] * 5)


def test_a_line_has_no_box_on_dates_on_which_it_does_not_fall() -> None:
    boxes = line(seen(settled(MONDAY)), "plants").boxes
    assert boxes == ("open", "none", "open", "none", "open", "none", "none")


def test_a_mark_stands_on_the_date_on_which_it_was_made() -> None:
    house = settled(MONDAY + 1, unmarked=frozenset({(MONDAY, "plants")}))
    house.mark(MONDAY + 1, "plants")
    assert line(seen(house), "plants").boxes[:3] == ("open", "kept", "open")


def test_lines_stand_by_the_part_of_the_day_with_what_one_needs_to_do_them() -> None:
    found = [(one.step, one.slot, one.minutes) for one in seen(settled(MONDAY)).lines]
    assert found == [("bed", "morning", 2), ("plants", "anytime", 3), ("cups", "evening", 5)]


def test_jobs_stand_on_their_dates_with_their_lines_and_are_no_lines() -> None:
    found = [(job.step, job.date, job.box, job.lines) for job in seen(settled(MONDAY)).jobs]
    assert found == [
        ("desk", on(MONDAY + 1), "open", ()),
        ("filter", on(MONDAY + 4), "open", ()),
        ("rooms", on(MONDAY + 5), "open", ("Dust", "Vacuum", "Mop")),
        ("accounts", on(MONDAY + 6), "open", ()),
    ]


def test_a_job_that_was_done_later_says_when() -> None:
    house = settled(MONDAY + 3, unmarked=frozenset({(MONDAY + 1, "desk"), (MONDAY + 2, "desk")}))
    assert (seen(house).jobs[0].box, seen(house).jobs[0].marked_on) == ("open", None)
    house.mark(MONDAY + 3, "desk", "small")
    assert (seen(house).jobs[0].box, seen(house).jobs[0].marked_on) == ("small", on(MONDAY + 3))


def test_on_days_away_there_are_no_boxes_and_it_is_said() -> None:
    house = settled(MONDAY)
    pauses.pause(house.context, HOME, on(MONDAY + 2), on(MONDAY + 4))
    found = seen(house)
    assert [day.rest for day in found.days] == [None, None, "away", "away", "away", None, None]
    assert line(found, "bed").boxes == ("open", "open", "none", "none", "none", "open", "open")
    assert "filter" not in {job.step for job in found.jobs}


def test_a_list_that_waited_keeps_its_boxes_since_a_mark_takes_it_up() -> None:
    """Whoever ticks on paper has marked nothing for a while."""
    house = settled(MONDAY)
    house.at(MONDAY + 18)
    assert today(house.context, HOME).phase == "lapsed"
    found = seen(house)
    assert line(found, "bed").boxes == ("open",) * 7
    assert set(found.enterable) == {on(MONDAY + ahead) for ahead in range(14, 19)}


def test_what_can_be_entered_is_today_and_the_seven_days_before() -> None:
    house = settled(MONDAY + 9)
    now, before = seen(house), seen(house, "2027-W04")
    assert (now.enterable, now.late) == ((on(MONDAY + 7), on(MONDAY + 8), on(MONDAY + 9)), ())
    assert before.enterable == tuple(on(MONDAY + ahead) for ahead in range(2, 7))
    assert before.late == (on(MONDAY), on(MONDAY + 1))


def test_a_week_gone_by_and_one_to_come_have_their_own_boxes() -> None:
    house = settled(MONDAY)
    past, ahead = seen(house, "2027-W03"), seen(house, "2027-W05")
    assert line(past, "bed").boxes == ("kept",) * 7
    assert line(ahead, "bed").boxes == ("open",) * 7
    assert (past.current, ahead.current, ahead.enterable) == (False, False, ())
    assert [(one.earlier, one.later) for one in (past, ahead)] == [
        ("2027-W02", "2027-W04"),
        ("2027-W04", "2027-W06"),
    ]


def test_a_week_begins_on_the_households_own_day() -> None:
    house = settled(MONDAY)
    settings.change(house.context, HOME, week_starts="sunday")
    found = seen(house)
    assert (found.first, found.days[0].weekday, found.week) == (on(MONDAY - 1), "SU", "2027-W04")
    assert line(found, "bed").boxes == ("kept", *["open"] * 6)


def test_the_first_week_begins_with_the_start() -> None:
    house = House().begun()
    assert (seen(house).earlier, seen(house).days[0].date) == (None, on(1))


@pytest.mark.parametrize(
    ("week", "error"), [("week five", Malformed), ("2027-W54", Malformed), ("2026-W40", OutOfRange)]
)
def test_a_week_that_is_none_or_lies_before_the_start_is_refused(week: str, error: type[Exception]) -> None:
    with pytest.raises(error):
        seen(settled(MONDAY), week)


def test_before_the_start_there_is_no_sheet() -> None:
    with pytest.raises(NotStarted):
        seen(House())


def test_the_weeks_area_has_its_list_with_what_is_done_of_it() -> None:
    house = AreaHouse()
    house.done("Oven", 1)
    (area,) = seen(house).areas
    assert (area.name, area.number, area.minutes) == ("Kitchen", 1, 60)
    assert [(task.title, task.done) for task in area.tasks] == [("Oven", on(1)), ("Shelf 1", None)]
    (caution,) = seen(house).cautions
    assert (caution.caution.key, caution.beside) == ("hot", ("Oven",))


def test_a_coming_week_has_the_list_that_it_will_have_if_those_before_are_done() -> None:
    house = AreaHouse()
    found = seen(house, "2027-W02")
    assert ([area.name for area in found.areas], found.areas[0].number) == (["Bath"], 2)
    assert found.area_text == "As it will be if the lists until then are done."
    again = seen(house, "2027-W04")
    assert [task.title for area in again.areas for task in area.tasks] == ["Shelf 2", "Shelf 3"]


def test_a_week_gone_by_keeps_its_list() -> None:
    house = AreaHouse()
    house.done("Oven", 1)
    house.live(10)
    (area,) = seen(house, "2027-W01").areas
    assert [(task.title, task.done) for task in area.tasks] == [("Oven", on(1)), ("Shelf 1", None)]


def test_dinners_say_what_has_to_leave_the_freezer_on_which_date_until_it_has() -> None:
    house = House().begun()
    plan(house, 7, a_dinner("Roast", ("Turkey legs", "3.2 kg", "poultry")))
    plan(house, 8, a_dinner("Stew", ("Beef", "1 kg", "cut")))
    found = {dinner.date: dinner for dinner in seen(house).dinners}
    assert (found[on(7)].dish, found[on(7)].time) == ("Roast", "18:00")
    thawed = {day: [text.translate(WITHOUT_MARKS) for text in one.thaw] for day, one in found.items()}
    assert thawed[on(5)] == [
        "Turkey legs, 3.2 kg: from the freezer into the refrigerator, for Roast on Sunday"
    ]
    assert thawed[on(7)] == ["Beef, 1 kg: from the freezer into the refrigerator, for Stew on Monday"]
    house.at(5)
    dinners.leave(house.context, HOME, on(7), 1, left=True)
    assert on(5) not in {dinner.date for dinner in seen(house).dinners}


def test_dues_stand_on_their_dates_seen_to_or_not_and_errands_by_place() -> None:
    house = House().begun()
    rent, _ = dues.add(house.context, HOME, TypedDue("Rent", str(on(3))))
    dues.add(house.context, HOME, TypedDue("Later", str(on(20))))
    todos.add(house.context, HOME, "Two keys cut", "errand", "Hardware shop")
    assert [(due.name, due.date, due.seen_to) for due in seen(house).dues] == [("Rent", on(3), False)]
    assert [(one.place, one.titles) for one in seen(house).errands] == [("Hardware shop", ("Two keys cut",))]
    dues.see_to(house.context, HOME, rent, on(3))
    assert [(due.name, due.date, due.seen_to) for due in seen(house).dues] == [("Rent", on(3), True)]


def test_choices_are_kept_and_the_same_again_writes_nothing() -> None:
    house = House().begun()
    assert choices(house.context, HOME) == SheetChoices()
    wanted = SheetChoices("letter", across=True, back=True, left_off=("dues", "cues", "dues"))
    assert choose(house.context, HOME, wanted) == replace(wanted, left_off=("cues", "dues"))
    version = today(house.context, HOME).version
    choose(house.context, HOME, wanted)
    assert (today(house.context, HOME).version, seen(house).choices.paper) == (version, "letter")


@pytest.mark.parametrize(
    ("paper", "left_off", "said"),
    [("a3", (), "no paper “a3”"), ("a4", ("walls",), "“walls” cannot be left off")],
)
def test_a_paper_or_a_piece_that_there_is_not_is_refused(
    paper: str, left_off: tuple[str, ...], said: str
) -> None:
    with pytest.raises(Malformed, match=said):
        chosen(paper, left_off)


def test_what_is_left_off_is_not_on_the_sheet_that_prints() -> None:
    house = AreaHouse()
    plan(house, 3, a_dinner("Stew", ("Beef", "1 kg", "cut")))
    choose(house.context, HOME, SheetChoices(left_off=("minutes", "area", "dinners", "writing")))
    whole = seen(house)
    printed = as_chosen(whole)
    assert whole.areas
    assert whole.dinners
    assert (printed.areas, printed.dinners, printed.caution, printed.writing) == ((), (), None, 0)
    assert [line.minutes for line in printed.lines] == [0]


def test_the_lines_and_the_minutes_of_jobs_can_be_left_off_by_themselves() -> None:
    house = settled(MONDAY)
    choose(house.context, HOME, SheetChoices(left_off=("job-lines",)))
    assert [(job.minutes, job.lines) for job in as_chosen(seen(house)).jobs][2] == (60, ())
    choose(house.context, HOME, SheetChoices(left_off=("minutes",)))
    rooms = as_chosen(seen(house)).jobs[2]
    assert (rooms.minutes, rooms.lines) == (0, ("Dust", "Vacuum", "Mop"))


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (29, 35, "The week of 1 to 7 February 2027"),
        (22 + 63, 22 + 69, "The week of 29 March to 4 April 2027"),
        (358, 364, "The week of 27 December 2027 to 2 January 2028"),
    ],
)
def test_the_title_says_the_month_and_the_year_where_they_change(first: int, last: int, said: str) -> None:
    assert title(on(first), on(last)) == said
