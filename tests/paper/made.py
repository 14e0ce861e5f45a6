"""Week sheets made of so many lines, for counting and for printing."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from coach.paper.answers import (
    Sheet,
    SheetArea,
    SheetChoices,
    SheetDay,
    SheetDinner,
    SheetDue,
    SheetErrand,
    SheetJob,
    SheetLine,
    SheetTask,
)
from coach.paper.sheet import title

if TYPE_CHECKING:
    from coach.habits.notes import SlotName

FIRST = date(2027, 2, 1)
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
SLOTS: tuple[SlotName, ...] = ("morning", "anytime", "evening")
ENGLISH = ("Clear the kitchen table", "when the last fork is put down")
GERMAN = ("Geschirrspülmaschinenreinigungstabletten nachfüllen", "nach dem Frühstücksgeschirrabräumen")
HEBREW = ("לנגב את שולחן המטבח אחרי הארוחה", "כשמניחים את המזלג האחרון")
NARROW = ("Till it fills, lift it", "if it is still")


def a_sheet(lines: int, words: tuple[str, str] = ENGLISH, **choices: Any) -> Sheet:  # noqa: ANN401  as SheetChoices takes them
    """A sheet with so many daily lines, seven jobs, and everything else a busy week has."""
    name, cue = words
    days = [FIRST + timedelta(days=ahead) for ahead in range(7)]
    return Sheet(
        week="2027-W05",
        first=FIRST,
        last=days[-1],
        title=title(FIRST, days[-1]),
        current=True,
        earlier="2027-W04",
        later="2027-W06",
        choices=SheetChoices(**choices),
        days=tuple(SheetDay(day, weekday, None) for day, weekday in zip(days, WEEKDAYS, strict=True)),
        lines=tuple(
            SheetLine(f"step-{at}", f"{name} {at}", SLOTS[at * 3 // lines], 5, cue, ("open",) * 7)
            for at in range(lines)
        ),
        jobs=tuple(
            SheetJob(f"job-{at}", name, day, 30, "open", (name, cue, name)) for at, day in enumerate(days)
        ),
        areas=(
            SheetArea(
                "kitchen", "Kitchen", 1, 40, tuple(SheetTask(f"t{at}", name, 10, None) for at in range(5))
            ),
        ),
        area_text="",
        dinners=tuple(SheetDinner(day, cue, "18:30", ()) for day in days[:5]),
        dues=(SheetDue("d1", name, days[1], "16:10", "48.00", seen_to=False),),
        errands=(SheetErrand("Market hall", (cue, "Light bulbs")),),
        caution=None,
        cautions=(),
        writing=3,
        members=("Ana", "Ben", "Cem"),
        enterable=tuple(days[:2]),
        late=(),
    )
