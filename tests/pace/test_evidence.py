"""What a log tells the forecast, day by day, out of the fold of a household's own log."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from coach.pace.evidence import Kind, evidence_of, kind_of
from coach.progress.journal import Version, journal
from coach.progress.replay import begin, each_closed
from progress.living import a_course, a_step, days, marks, on, row, start

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.course.model import Course
    from coach.pace.evidence import Evidence
    from coach.progress.log import Row

MORNING = a_step("bed", slot="morning")
EVENING = a_step("kitchen", slot="evening", waits=False)
WEEKLY = a_step("linen", slot="morning", repeats="FREQ=WEEKLY;BYDAY=MO", waits=False)
BOTH = a_course(MORNING, EVENING)


def evidence(course: Course, rows: Sequence[Row], through: int, first: int = 1) -> Evidence:
    book = journal([Version(date.min, course)], rows)
    state = begin(book)
    closed = each_closed(state, book, on(first), on(through))
    return evidence_of(on(1), ((opening, state) for opening in closed))


def told(found: Evidence) -> list[tuple[int, tuple[int, ...], tuple[int, ...]]]:
    """The days that told something, numbered from 1."""
    return [((day.date - on(1)).days + 1, day.kept, day.outcomes) for day in found.told]


def chain(found: Evidence) -> str:
    """A letter for each day that tells: Q for a quiet one, after a bar where the one before is not known."""
    return "".join(("|" if day.before is None else "") + ("Q" if day.quiet else ".") for day in found.spells)


@pytest.mark.parametrize(
    ("slot", "repeats", "kind"),
    [
        ("morning", "FREQ=DAILY", Kind.MORNING),
        ("anytime", "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH", Kind.ANYTIME),
        ("evening", "FREQ=DAILY;INTERVAL=1", Kind.EVENING),
        ("evening", "FREQ=WEEKLY;BYDAY=TU,FR", Kind.SELDOM),
        ("morning", "FREQ=MONTHLY;BYMONTHDAY=1", Kind.SELDOM),
    ],
)
def test_a_kind_is_the_part_of_the_day_unless_a_line_falls_seldom(
    slot: str, repeats: str, kind: Kind
) -> None:
    assert kind_of(a_step("line", slot=slot, repeats=repeats)) is kind


def test_before_a_day_has_closed_nothing_is_told() -> None:
    found = evidence_of(on(1), ())
    assert (found.told, found.spells, found.outcomes, found.quiet) == ((), (), 0, False)
    assert found.through == on(0)


def test_small_counts_as_kept_and_missed_as_missed() -> None:
    rows = start() + marks("small", [1], "bed") + marks("missed", [2], "bed")
    assert told(evidence(a_course(MORNING), rows, 2)) == [
        (1, (1, 0, 0, 0), (1, 0, 0, 0)),
        (2, (0,) * 4, (1, 0, 0, 0)),
    ]


def test_an_excused_line_tells_nothing_but_that_somebody_was_there() -> None:
    found = evidence(a_course(MORNING), start() + marks("excused", [1], "bed"), 1)
    assert (told(found), chain(found)) == ([], ".")


def test_a_line_left_unmarked_beside_a_marked_one_is_missed() -> None:
    found = evidence(BOTH, start() + marks("kept", [1, 2], "bed"), 2)
    assert told(found)[1] == (2, (1, 0, 0, 0), (1, 0, 1, 0))


def test_lines_of_one_kind_are_counted_together() -> None:
    other = a_step("table", slot="evening", waits=False)
    rows = start() + marks("kept", days(1, 3), "bed", "table") + marks("missed", [3], "kitchen")
    assert told(evidence(a_course(MORNING, EVENING, other), rows, 3))[2] == (3, (1, 0, 1, 0), (1, 0, 2, 0))


def test_a_quiet_day_tells_of_the_spell_and_not_of_the_lines() -> None:
    found = evidence(BOTH, start() + marks("kept", [1, 4], "bed"), 4)
    assert [day for day, _, _ in told(found)] == [1, 4]
    assert chain(found) == ".QQ."
    assert not found.quiet


def test_the_latest_day_says_whether_it_is_quiet_now() -> None:
    assert evidence(BOTH, start() + marks("kept", [1], "bed"), 3).quiet


def test_a_day_with_nothing_but_misses_marked_is_not_quiet() -> None:
    found = evidence(a_course(MORNING), start() + marks("missed", [1], "bed"), 1)
    assert chain(found) == "."
    assert found.outcomes == 1


def test_lapsed_days_belong_to_the_spell_and_the_return_day_ends_it() -> None:
    rows = start() + marks("kept", [1, 12], "bed")
    assert chain(evidence(BOTH, rows, 12)) == "." + 10 * "Q" + "."


def test_who_only_says_that_they_are_back_is_there() -> None:
    rows = [*start(), *marks("kept", [1], "bed"), row(12, "resume")]
    found = evidence(BOTH, rows, 12)
    assert chain(found)[-2:] == "Q."
    assert told(found)[-1][0] == 12


def test_paused_days_are_left_out_and_cut_the_chain() -> None:
    rows = [*start(), *marks("kept", [1, 6], "bed"), row(3, "pause", value=on(5).isoformat())]
    found = evidence(BOTH, rows, 7)
    assert chain(found) == ".Q|.Q"


def test_nobody_is_taken_for_quiet_after_a_pause() -> None:
    rows = [*start(), *marks("kept", [1], "bed"), row(3, "pause")]
    assert not evidence(BOTH, rows, 5).quiet


def test_days_with_an_empty_list_tell_nothing_and_do_not_cut_the_chain() -> None:
    found = evidence(a_course(WEEKLY), start() + marks("kept", [1, 8], "linen"), 9)
    assert [(day.date, day.before) for day in found.spells] == [(on(1), False), (on(8), False)]


def test_a_weekly_line_tells_once_on_the_day_it_closes() -> None:
    course = a_course(MORNING, WEEKLY)
    rows = start() + marks("kept", days(1, 21), "bed") + marks("kept", [10], "linen")
    seldom = [
        (day, kept[Kind.SELDOM]) for day, kept, due in told(evidence(course, rows, 21)) if due[Kind.SELDOM]
    ]
    assert seldom == [(10, 1), (21, 0)]


def test_days_taken_in_from_later_on_begin_without_a_day_before() -> None:
    found = evidence(BOTH, start() + marks("kept", days(1, 9), "bed"), 9, first=5)
    assert chain(found) == "|....."
    assert found.started == on(1)
