"""Sheets, cards and texts of Tern Street, made by hand for the press."""

from __future__ import annotations

from datetime import date, timedelta

from coach.ground.cautions import CautionView
from coach.paper.answers import (
    BoxName,
    PaperName,
    Sheet,
    SheetArea,
    SheetCaution,
    SheetChoices,
    SheetDay,
    SheetDinner,
    SheetDue,
    SheetErrand,
    SheetJob,
    SheetLine,
    SheetTask,
)

MONDAY = date(2027, 2, 1)
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
DATES = tuple(MONDAY + timedelta(days=ahead) for ahead in range(7))
DAYS = tuple(SheetDay(day, name, None) for day, name in zip(DATES, WEEKDAYS, strict=True))
OPEN: tuple[BoxName, ...] = ("open",) * 7
CAUTION = CautionView(
    "thawing", "Thaw in the fridge", "On a plate, low down; cook it within a day.", "a source"
)
TITLES = (
    ("morning", "Make the bed", "after getting up", 2),
    ("morning", "Open the windows", "after getting up", 5),
    ("morning", "Wipe the basin", "after brushing teeth", 2),
    ("morning", "Empty the dishwasher", "while the kettle boils", 4),
    ("morning", "Feed and walk the dog", "before breakfast", 25),
    ("morning", "Check what is thawing", "at breakfast", 1),
    ("morning", "Put a wash on", "after breakfast", 4),
    ("anytime", "Hang up the wash", None, 8),
    ("anytime", "Read the post and put each letter where it belongs", "when the post comes", 5),
    ("anytime", "Water the ferns", None, 3),
    ("anytime", "Practise the violin", "after school", 20),
    ("anytime", "Sweep the kitchen floor", "after the midday meal", 5),
    ("evening", "Clear the table", "after dinner", 5),
    ("evening", "Wash up", "after dinner", 12),
    ("evening", "Wipe the worktops", "after washing up", 3),
    ("evening", "Take the rubbish down", "with the dog", 3),
    ("evening", "Lay out clothes for tomorrow", "before bed", 4),
    ("evening", "Ten minutes for the living room", "after the news", 10),
)
JOBS = (
    ("dry-round", "Dry round", 30, ("Dust the shelves", "Vacuum the hall", "Shake the mats")),
    ("wet-round", "Wet round", 35, ("Bathroom floor", "Kitchen floor", "Taps")),
    ("linen", "Linen", 20, ("Change the beds", "Towels")),
    ("papers", "Papers", 25, ("Bills", "School letters")),
    ("out-and-back", "Out and back", 60, ("Groceries", "Bottles", "Parcels")),
    ("area-time", "Area time", 45, ()),
    ("week-ahead", "The week ahead", 15, ("Dinners", "Who works when")),
)
DISHES = (
    "Lentil soup",
    "Pasta with chard",
    "Fish pie",
    "Leftovers",
    "Pancakes",
    "Roast vegetables",
    "Chicken and rice",
)
TASKS = (
    "Wipe the cupboard fronts",
    "Clean behind the cooker",
    "Empty the crumb tray",
    "Sort the spice drawer",
    "Wash the bin",
    "Descale the kettle",
    "Wipe the fridge shelves",
    "Wash the windows inside",
    "Dust the lamp",
    "Clean the extractor's filter",
    "Wipe doors and switches",
    "Mop under the radiator",
)


def lines(number: int) -> tuple[SheetLine, ...]:
    """So many lines of the daily list, in the order of the day."""
    slots = ("morning", "anytime", "evening")
    chosen = [TITLES[at % len(TITLES)] for at in range(number)]
    ordered = sorted(chosen, key=lambda one: slots.index(one[0]))
    return tuple(
        SheetLine(f"step-{at}", title, slot, minutes, cue, OPEN)  # type: ignore[arg-type]  # as literals
        for at, (slot, title, cue, minutes) in enumerate(ordered)
    )


def a_sheet(
    number: int = 12, paper: PaperName = "a4", *, across: bool = False, back: bool = False, full: bool = True
) -> Sheet:
    """A week of Tern Street with so many daily lines; full: with jobs, area, dinners and dues as well."""
    jobs = tuple(
        SheetJob(step, title, day, minutes, "open", inside)
        for day, (step, title, minutes, inside) in zip(DATES, JOBS, strict=True)
    )
    tasks = tuple(SheetTask(f"task-{at}", title, 5 + at, None) for at, title in enumerate(TASKS))
    thaw = {1: ("Move the fish from the freezer to the fridge for Wednesday",)}
    dinners = tuple(
        SheetDinner(day, dish, "18:30", thaw.get(at, ()))
        for at, (day, dish) in enumerate(zip(DATES, DISHES, strict=True))
    )
    dues = (
        SheetDue("rent", "Rent", DATES[0], None, "840.00", seen_to=True),
        SheetDue("dentist", "Dentist, Ben", DATES[2], "15:40", None, seen_to=False),
        SheetDue("library", "Library books", DATES[4], None, None, seen_to=False),
    )
    return Sheet(
        week="2027-W05",
        first=DATES[0],
        last=DATES[-1],
        title="1 to 7 February 2027",
        current=True,
        earlier="2027-W04",
        later="2027-W06",
        choices=SheetChoices(paper, across, back),
        days=DAYS,
        lines=lines(number),
        jobs=jobs if full else (),
        areas=(SheetArea("kitchen", "Kitchen", 5, 40, tasks),) if full else (),
        area_text="Kitchen, until 7 February" if full else "",
        dinners=dinners if full else (),
        dues=dues if full else (),
        errands=(SheetErrand("Chemist", ("plasters", "toothpaste")), SheetErrand("Hardware shop", ("hinge",)))
        if full
        else (),
        caution=CAUTION if full else None,
        cautions=(SheetCaution(CAUTION, ("Check what is thawing",)),) if full else (),
        writing=3,
        members=("Ana", "Ben", "Mia"),
        enterable=DATES,
        late=(),
    )
