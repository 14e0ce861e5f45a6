"""The week sheet as PDF: one page or by how many lines it is too long, never smaller than 8 points."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.paper.answers import SheetChoices, SheetLine, SheetTask
from coach.paper.sheet import as_chosen
from coach.paper.sheet import sheet as week_of
from coach.press.printed import Printed, TooLong
from coach.press.sheet import sheet
from habits.house import HOME
from press.hashes import hashes
from press.made import OPEN, a_sheet
from press.reading import (
    about,
    faces_that_are_not_inside,
    faults,
    least_between_boxes,
    pages,
    said_instead,
    set_well,
    size_of_first_page,
    text,
)
from week.house import settled

if TYPE_CHECKING:
    from coach.paper.answers import PaperName, Sheet

PAPERS: tuple[PaperName, ...] = ("a4", "letter")
WAYS = [(paper, across) for paper in PAPERS for across in (False, True)]
LEAST = 8.0
NARROWEST = 4.0


def one_page(found: Sheet) -> Printed:
    """The sheet, which has to fit."""
    made = sheet(found)
    assert isinstance(made, Printed)
    return made


SCRIPTS = (
    "abcdefghijklmnopqrstuvwxyz ",
    "אבגדהוזחטיכלמנסעפצקרשת ",
    "αβγδεζηθικλμνξοπρστυφχψω ",
    "абвгдежзийклмнопрстуфхцчшщ ",
    "ابتثجحخدذرزسشصضطظعغفقكلمنهوي ",
    "ąćęłńóśźżáéíóúýčďěňřšťůžßäöü ",
    '#$*_@\\/<>[]{}"`~ ',
)
TITLES = st.one_of(
    *(st.text(alphabet, min_size=1, max_size=80) for alphabet in SCRIPTS),
    st.sampled_from(("Donaudampfschifffahrtsgesellschaftskapitänskajütenreinigungsplanung", "x" * 80)),
).map(lambda title: title.strip() or "x")


@st.composite
def sheets(draw: st.DrawFn) -> Sheet:
    """A week with 1 to 60 lines of any titles, on any paper, full or nearly empty."""
    paper, across = draw(st.sampled_from(WAYS))
    made = a_sheet(draw(st.integers(1, 60)), paper, across=across, full=draw(st.booleans()))
    titles = draw(st.lists(TITLES, min_size=1, max_size=6))
    lines = tuple(
        replace(line, title=titles[at % len(titles)]) if at % 2 else line
        for at, line in enumerate(made.lines)
    )
    return replace(made, lines=lines)


@settings(max_examples=5, deadline=None)
@given(sheets(), st.randoms(use_true_random=False))
def test_a_week_stands_on_one_page_or_leaving_off_so_many_lines_makes_it(
    found: Sheet, random: object
) -> None:
    made = sheet(found)
    if isinstance(made, TooLong):
        count = len(found.lines)
        assert 1 <= made.lines <= count
        staying = sorted(random.sample(range(count), count - made.lines))  # type: ignore[attr-defined]  # Random
        made = one_page(replace(found, lines=tuple(found.lines[at] for at in staying)))
    assert pages(made.pdf) == made.pages == 1
    assert set_well(made.pdf, LEAST) == []


@pytest.mark.parametrize(("paper", "across"), WAYS)
def test_thirty_lines_with_all_of_a_week_fit(paper: PaperName, across: bool) -> None:  # noqa: FBT001  a row
    all_of_a_week_fits(30, paper, across=across)


def test_one_line_with_all_of_a_week_fits() -> None:
    all_of_a_week_fits(1, "letter", across=True)


def all_of_a_week_fits(count: int, paper: PaperName, *, across: bool) -> None:
    """A full week with so many daily lines stands on one page, with every word of it."""
    found = a_sheet(count, paper, across=across)
    made = one_page(found)
    assert pages(made.pdf) == 1
    assert LEAST <= made.points <= 11
    assert set_well(made.pdf, LEAST) == []
    said = text(made.pdf)
    titles = [line.title for line in found.lines] + [task.title for task in found.areas[0].tasks]
    titles += [job.title for job in found.jobs] + [str(dinner.dish) for dinner in found.dinners]
    assert [title for title in titles if "".join(title.split()) not in said] == []


LONG = "Kühlschrankeinlegeböden reinigen, Wäscheständer zusammenklappen, Fensterbänke ab"


@pytest.mark.parametrize(("paper", "across"), [("letter", False), ("letter", True)])
def test_thirty_lines_with_titles_as_long_as_they_may_be_fit(paper: PaperName, across: bool) -> None:  # noqa: FBT001  a row
    made = a_sheet(30, paper, across=across)
    found = replace(
        made,
        lines=tuple(replace(line, title=LONG) for line in made.lines),
        jobs=tuple(replace(job, title=LONG) for job in made.jobs),
        areas=(replace(made.areas[0], tasks=made.areas[0].tasks[:6]),),
    )
    printed = one_page(found)
    assert pages(printed.pdf) == 1
    assert set_well(printed.pdf, LEAST) == []
    assert text(printed.pdf).count("".join(LONG.split())) == 37
    assert least_between_boxes(printed.pdf) >= NARROWEST


@pytest.mark.parametrize(
    ("paper", "across", "size"),
    [("a4", False, (210.0, 297.0)), ("a4", True, (297.0, 210.0)), ("letter", True, (279.4, 215.9))],
)
def test_the_paper_is_the_one_that_was_chosen(
    paper: PaperName,
    across: bool,  # noqa: FBT001  a row
    size: tuple[float, float],
) -> None:
    assert size_of_first_page(one_page(a_sheet(3, paper, across=across)).pdf) == size


def test_few_lines_are_set_large_and_many_small() -> None:
    few, many = one_page(a_sheet(3)), one_page(a_sheet(30))
    assert (few.points, many.points) == (11, 8)


def test_what_is_too_long_says_by_how_many_lines() -> None:
    assert sheet(a_sheet(60)) == TooLong(7)
    assert isinstance(sheet(a_sheet(53)), Printed)


def test_what_is_too_long_without_any_daily_line_says_so_too() -> None:
    tasks = tuple(SheetTask(f"t{at}", f"Task {at}", 5, None) for at in range(300))
    made = a_sheet(2)
    found = sheet(replace(made, areas=(replace(made.areas[0], tasks=tasks),)))
    assert isinstance(found, TooLong)
    assert found.lines > 100


def test_a_back_page_holds_the_lines_of_jobs_and_what_to_mind() -> None:
    front = one_page(a_sheet(6)).pdf
    made = one_page(a_sheet(6, back=True))
    assert (pages(front), pages(made.pdf), made.pages) == (1, 2, 2)
    said = text(made.pdf)
    for words in ("Shakethemats", "Thawinthefridge", "Source:asource"):
        assert words in said
    assert "Source:asource" not in text(front)


def test_a_back_page_that_is_too_long_says_by_how_many_lines() -> None:
    made = a_sheet(2, back=True)
    found = sheet(replace(made, jobs=tuple(replace(job, lines=("Dust",) * 40) for job in made.jobs)))
    assert isinstance(found, TooLong)
    assert found.lines == 0
    assert found.back > 10


def test_what_is_left_off_is_not_there() -> None:
    pieces = {
        "cues": "aftergettingup",
        "minutes": "min",
        "job-lines": "Shakethemats",
        "area": "Kitchen,until",
        "dinners": "Fishpie",
        "dues": "Rent",
        "errands": "Chemist",
        "writing": "Alsothisweek",
        "names": "Ana",
    }
    whole = text(one_page(a_sheet(6)).pdf)
    bare = text(one_page(replace(a_sheet(6), choices=SheetChoices(left_off=tuple(pieces)))).pdf)  # type: ignore[arg-type]  # literals
    assert [piece for piece, words in pieces.items() if words not in whole or words in bare] == []


def test_marks_that_were_made_stand_in_their_boxes_and_say_what_they_are(tmp_path: Path) -> None:
    made = a_sheet(2)
    boxes = ("kept", "small", "missed", "excused", "open", "none", "none")
    marked = one_page(replace(made, lines=tuple(replace(line, boxes=boxes) for line in made.lines)))  # type: ignore[arg-type]  # literals
    assert faults(marked.pdf, tmp_path) == []
    assert said_instead(marked.pdf) == {"kept", "small version", "missed", "excused", "done"}
    assert said_instead(one_page(made).pdf) == {"done"}


def test_words_that_mean_something_to_the_setter_are_words(tmp_path: Path) -> None:
    titles = (
        '#import "@preview/x:1.0.0"',
        '#read("/etc/passwd")',
        "$x^2$ *b* _c_ `d` @e <f> ~ -- \\n // g",
        "a\x00b\x07c\u202ed\u2066e",
        "#" * 80,
        "= h - i + j / k: l",
    )
    lines = tuple(SheetLine(f"s{at}", title, "anytime", 1, None, OPEN) for at, title in enumerate(titles))
    made = one_page(replace(a_sheet(1, full=False), lines=lines))
    assert faults(made.pdf, tmp_path) == []
    said = text(made.pdf)
    wanted = [*titles[:3], "abcde", *titles[4:]]
    assert [title for title in wanted if "".join(title.split()) not in said] == []


@pytest.mark.parametrize(("paper", "across"), [("a4", False), ("letter", True)])
def test_whoever_does_not_see_it_can_read_it(paper: PaperName, across: bool, tmp_path: Path) -> None:  # noqa: FBT001  a row
    made = one_page(a_sheet(12, paper, across=across, back=True))
    assert faults(made.pdf, tmp_path) == []
    assert about(made.pdf) == ("1 to 7 February 2027", "en-GB")


def test_every_face_is_inside() -> None:
    lines = tuple(
        SheetLine(f"s{at}", words, "anytime", 1, None, OPEN)
        for at, words in enumerate(("Bett", "להציע", "Πότισε", "Полить", "اغسل", "Żółć", "🐕 ✓ ≥"))
    )
    made = one_page(replace(a_sheet(1), lines=lines))
    assert faces_that_are_not_inside(made.pdf) == []


SET_ANEW = """
import sys
sys.path.insert(0, "tests")
from habits.house import HOME
from press.hashes import hashes
print(hashes())
"""


def test_the_same_sheet_cards_handover_and_booklet_are_the_same_bytes_in_another_process() -> None:
    root = Path(__file__).parents[2]
    other = subprocess.run(
        [sys.executable, "-c", SET_ANEW], cwd=root, check=True, capture_output=True, text=True
    ).stdout.split()
    assert other == hashes().split()
    assert len(set(other)) == 4


def test_a_real_household_has_its_week_on_one_page() -> None:
    house = settled(24)
    made = one_page(as_chosen(week_of(house.context, HOME)))
    said = text(made.pdf)
    assert pages(made.pdf) == 1
    assert all(day in said for day in ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"))
    assert "small version" not in said
    assert "kept" in said
