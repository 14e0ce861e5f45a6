"""Names in the lessons' prose: no firm, no polling brand, no agency; docs and cautions hold the sources."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from coach.coaching.lessons_folder import shipped_lessons
from coach.course.reader import load_course, read_catalogue, read_cautions, read_rooms, read_texts

if TYPE_CHECKING:
    from collections.abc import Iterator

LESSONS = shipped_lessons()
RULES = Path(__file__).parents[2] / "docs" / "rules.md"

RESEARCHERS = {"Lally", "Gollwitzer", "Sheeran", "Singh", "Beshears"}
COUNTRIES = {"American", "British", "European", "America", "United", "States"}
DAYS = {"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday", "March", "January"}
OTHERS = {"I", "C", "F", "Biscuit's"}
"""The pronoun, the degrees, and an invented dog's name."""

MAY_BE_NAMED = RESEARCHERS | COUNTRIES | DAYS | OTHERS

BEGINS = re.compile(r"""(?:^|[.!?:;]["”*)]*\s|[“"*(]|\n\s*\n|(?<=\n)[#-]\s)\s*""")
NAME = re.compile(r"[A-Z][\w']*")
SOURCES = (
    "USDA", "FoodSafety.gov", "NHS", "American Cleaning Institute", "YouGov", "NFPA", "ENERGY STAR", "WHO",
    "EFSA", "OSHA", "CDC CS316270A", "EPA",
)  # fmt: skip


def prose() -> Iterator[tuple[str, str]]:
    """Everything that a household reads of the lessons, but for the sources."""
    course = load_course(LESSONS / "three-weeks")
    yield "course", course.summary
    for step in (*course.steps, *read_catalogue(LESSONS / "catalogue")):
        said = (step.title, step.why or "", step.cue or "", step.small or "")
        yield from ((step.id, text) for text in (*said, *(line.title for line in step.lines)))
        yield from ((step.id, text) for lesson in step.lessons for text in (lesson.title, lesson.markdown))
    for folder in ("returning", "steady"):
        for other in read_texts(LESSONS / folder):
            yield from ((folder, text) for one in other.lessons for text in (one.title, one.markdown))
    for key, caution in read_cautions(LESSONS / "cautions.toml").items():
        yield from ((key, text) for text in (caution.title, caution.text))
    for kind in read_rooms(LESSONS / "areas"):
        yield from ((kind.id, task.title) for task in (*kind.detail, *kind.declutter))


def names(text: str) -> list[str]:
    """Words with a capital letter that do not begin a sentence, and words in capitals wherever they stand."""
    beginnings = {match.end() for match in BEGINS.finditer(text)}
    return [
        match[0]
        for match in NAME.finditer(text)
        if (match.start() not in beginnings or re.fullmatch(r"[A-Z]{2,}|[A-Z][a-z]+[A-Z]\w*", match[0]))
        and match[0] not in MAY_BE_NAMED
    ]


def test_no_firm_no_brand_and_no_agency_is_named_in_prose() -> None:
    found = {(place, name) for place, text in prose() for name in names(text)}
    assert found == set()


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("When YouGov asked, few answered.", ["YouGov"]),
        ("YouGov asked.", ["YouGov"]),
        ("Those are figures from the USDA.", ["USDA"]),
        ("The American Cleaning Institute says so.", ["Cleaning", "Institute"]),
        ("In a British survey of 2022 few did. Others (Lally and others, 2010) did.\n\nOn Monday I do.", []),
        ("Above 32 °C (90 °F), *go home*: “Not now.”", []),
    ],
)
def test_a_name_would_be_found_and_ordinary_words_would_not(text: str, found: list[str]) -> None:
    assert names(text) == found


def test_what_the_prose_leaves_unnamed_has_its_source_in_the_docs() -> None:
    text = RULES.read_text(encoding="utf-8")
    assert [name for name in SOURCES if name not in text] == []


def test_metric_measures_stand_first() -> None:
    for place, text in prose():
        for match in re.finditer(r"\S*\d+\s+°F|\S*\d+ square feet|\S*four to five pounds", text):
            assert match[0].startswith("(") or "roughly two kilos" in text, f"{place}: {match[0]}"
