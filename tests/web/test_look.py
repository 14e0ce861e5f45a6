"""The look is one: four sizes, two weights and two faces of type, and no stripe at the left of a card."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from coach.web.rendering import HERE, STATIC

if TYPE_CHECKING:
    from pathlib import Path

SHEETS = sorted(STATIC.glob("*.css"))
SIZES = {f"var(--size-{number})" for number in range(1, 5)} | {"var(--drawn)", "inherit"}
ON_PAPER = {"var(--printed)", "var(--printed-large)"}
"""The sizes of the week sheet, set in the largest that fits its page, and of cautions on day cards."""
WEIGHTS = {"var(--plain)", "var(--strong)", "inherit"}
FACES = {"var(--sans)", "var(--serif)", "inherit"}
DRAWINGS = HERE / "templates" / "parts" / "drawings.html"
MOST_OF_A_DRAWING = 2048


def rules(sheet: Path) -> str:
    """A sheet without its comments and without the faces it loads."""
    text = re.sub(r"/\*.*?\*/", "", sheet.read_text(), flags=re.DOTALL)
    return re.sub(r"@font-face \{.*?\}", "", text, flags=re.DOTALL)


def values(sheet: Path, name: str) -> set[str]:
    """Everything that a property is set to in a sheet."""
    return set(re.findall(rf"(?<![\w-]){name}:\s*([^;]+);", rules(sheet)))


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.stem)
def test_type_has_four_sizes_two_weights_and_two_faces(sheet: Path) -> None:
    assert values(sheet, "font-size") <= SIZES | (ON_PAPER if sheet.stem in {"paper", "cards"} else set())
    assert values(sheet, "font-weight") <= WEIGHTS
    assert values(sheet, "font-family") <= FACES


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.stem)
def test_no_card_has_a_stripe_at_its_left(sheet: Path) -> None:
    assert not re.findall(r"border-(?:inline-start|left)(?:-width)?:\s*[2-9]", rules(sheet))


def test_the_sizes_are_34_22_17_and_14_pixels() -> None:
    tokens = (STATIC / "tokens.css").read_text()
    found = [float(size) * 16 for size in re.findall(r"--size-\d: ([\d.]+)rem;", tokens)]
    assert found == [34, 22, 17, 14]


def test_a_line_drawing_is_small_and_takes_the_colour_of_the_text() -> None:
    drawn = re.findall(r'"(\w+)": "([^"]+)"', DRAWINGS.read_text())
    assert len(drawn) >= 8
    assert all(len(path) <= MOST_OF_A_DRAWING for _, path in drawn)
    assert "#" not in "".join(path for _, path in drawn)
