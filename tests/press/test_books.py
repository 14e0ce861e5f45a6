"""The handover and the booklet as PDF: as many pages as needed, contents, page numbers, whatever is typed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from coach.coaching.library import FolderLibrary
from coach.errors import Malformed
from coach.habits.answers import LessonView
from coach.paper.answers import Booklet, BookletStep
from coach.paper.booklet import booklet as booklet_of
from coach.paper.handover import Wanted
from coach.paper.handover import handover as handover_of
from coach.paper.handover_answers import Handover, HandoverLine, HandoverPage, HandoverSection
from coach.press.booklet import booklet
from coach.press.books import MOST_LETTERS
from coach.press.handover import handover
from coach.press.markdown import nodes_of
from habits.house import HOME
from press.made import CAUTION, MONDAY, TITLES
from press.reading import about, faces_that_are_not_inside, faults, lines_drawn, pages, text
from week.house import settled

if TYPE_CHECKING:
    from pathlib import Path

MARKDOWN = """# Keys

The key hangs **behind** the *door*, by the `fuse box`. <script>alert(1)</script> #import "x"

1. Turn it twice
2. Pull
   - inside

> quoted [a shop](https://example.org/hours) and [bad](javascript:x)

#### Heat

    indented code

![a picture](secret.png)

---
שלום לכולם
"""


def a_page(markdown: str, title: str = "Keys and doors") -> HandoverPage:
    return HandoverPage(title, title, markdown, "", 1, ("sitter",))


def of(*given: HandoverPage, sections: tuple[HandoverSection, ...] = ()) -> Handover:
    return Handover("sitter", "For the sitter", "Monday 1 February", MONDAY, MONDAY, given, sections)


def records() -> HandoverSection:
    lines = tuple(HandoverLine("", title, f"{minutes} min") for _, title, _, minutes in TITLES)
    hatched = HandoverLine("The home", "Kitchen", "", ("Wipe the fronts",), 3)
    return HandoverSection("day", "The day", "What is on the list.", (*lines, hatched), (CAUTION,))


def test_a_handover_has_contents_and_page_numbers(tmp_path: Path) -> None:
    long = "\n\n".join("Walk her twice, and wipe her paws." for _ in range(150))
    made = handover(of(a_page(MARKDOWN), a_page(long, "The dog"), sections=(records(),)))
    said = text(made.pdf)
    assert pages(made.pdf) == made.pages > 3
    assert said.count("Thedog") == 2
    assert f"1of{made.pages}" in said
    assert f"{made.pages}of{made.pages}" in said
    assert faults(made.pdf, tmp_path) == []
    assert about(made.pdf) == ("For the sitter", "en-GB")
    assert faces_that_are_not_inside(made.pdf) == []


def test_a_page_is_set_as_it_was_meant_and_nothing_in_it_does_anything() -> None:
    said = text(handover(of(a_page(MARKDOWN))).pdf)
    for words in (
        "behind",
        '<script>alert(1)</script>#import"x"',
        "2.Pull",
        "ashop(https://example.org/hours)",
        "[bad](javascript:x)",
        "indentedcode",
        "apicture",
    ):
        assert words in said
    assert "**" not in said
    assert "secret.png" not in said


BLANKS = "- The note lies: ____ or ______\n\n____\n\nAfter **strong** words ____, _ and __ are words."


def test_what_is_to_be_filled_in_is_a_line_wide_enough_to_write_on() -> None:
    lines = lines_drawn(handover(of(a_page(BLANKS))).pdf)
    assert [round(wide) for wide in lines if 40 < wide < 100] == [44] * 4
    assert [wide for wide in lines if wide > 150] == lines[:1]


def test_low_lines_of_a_lesson_are_no_room_to_write() -> None:
    assert nodes_of("a ____ b")[0]["words"] == [{"words": "a ____ b", "strong": False, "slanted": False}]


def test_each_page_of_the_households_own_begins_on_a_sheet_of_its_own() -> None:
    given = of(a_page("One.", "The dog"), a_page("Two.", "Keys"), sections=(records(),))
    assert pages(handover(given).pdf) == pages(handover(of(sections=(records(),))).pdf) + 3


@pytest.mark.parametrize(
    "bomb",
    [
        ">" * 20_000 + "x",
        "*" * 6_000 + "a" + "*" * 6_000,
        "[" * 6_000 + "](x)" * 600,
        "\n".join("  " * deep + "- x" for deep in range(200)),
        "x" * 20_000,
        "> - " * 60 + "deep",
        "`" * 4_000,
    ],
    ids=["quotes", "stars", "links", "lists", "one word", "nested", "ticks"],
)
def test_a_text_made_to_break_a_parser_is_printed(bomb: str) -> None:
    assert handover(of(a_page(bomb))).pages >= 1


def test_a_text_of_five_thousand_pages_is_refused_before_it_is_read() -> None:
    with pytest.raises(Malformed, match=r"15,000,000 letters.*400,000 at most"):
        booklet(a_course("word " * 3_000_000))
    with pytest.raises(Malformed, match="letters, and a PDF takes"):
        handover(of(*(a_page("a" * 6_000) for _ in range(MOST_LETTERS // 6_000 + 1))))


def a_course(markdown: str, steps: int = 1) -> Booklet:
    lessons = (LessonView("s", 1, "The first", markdown, ""),)
    cue, days = "after breakfast", "every day"
    given = tuple(
        BookletStep(f"s{at}", f"Step {at}", "tiny", cue, 3, days, CAUTION, lessons, day=at)
        for at in range(1, steps + 1)
    )
    return Booklet("three-weeks", "Three weeks", given, "letter", "In small steps.", 28)


def test_a_booklet_tells_its_steps_in_order_with_their_lessons(tmp_path: Path) -> None:
    made = booklet(a_course(MARKDOWN, 12))
    said = text(made.pdf)
    places = [said.rindex(f"Step{number}Day{number}·everyday") for number in range(1, 13)]
    assert places == sorted(places)
    assert "Witheverythingkeptittakes28days." in said
    assert pages(made.pdf) == made.pages > 2
    assert faults(made.pdf, tmp_path) == []


def test_the_same_pages_give_the_same_bytes() -> None:
    assert handover(of(a_page(MARKDOWN))) == handover(of(a_page(MARKDOWN)))


def test_a_real_household_has_its_handover(tmp_path: Path) -> None:
    found = handover_of(settled(24).context, HOME, Wanted("stand-in"))
    made = handover(found)
    assert found.sections
    assert [one.title for one in found.sections if "".join(one.title.split()) not in text(made.pdf)] == []
    assert faults(made.pdf, tmp_path) == []


def test_a_shipped_course_is_a_booklet(tmp_path: Path) -> None:
    made = booklet(booklet_of(replace(settled(24).context, library=FolderLibrary()), "three-weeks"))
    assert pages(made.pdf) == made.pages > 10
    assert faults(made.pdf, tmp_path) == []
