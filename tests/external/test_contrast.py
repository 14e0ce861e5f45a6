"""The palette against WCAG 2.2, success criteria 1.4.3 and 1.4.11.

Source of the formula: Web Content Accessibility Guidelines (WCAG) 2.2, W3C Recommendation, definitions of
"relative luminance" and "contrast ratio", https://www.w3.org/TR/WCAG22/#dfn-relative-luminance.
"""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from coach.web.rendering import STATIC

TOKENS = (STATIC / "tokens.css").read_text()
PAIR = re.compile(r"pair: ([\w-]+) on ([\w-]+) at ([\d.]+)")
COLOUR = re.compile(r"--([\w-]+): (#[0-9a-f]{6});")
PAIRS = [(front, back, float(ratio)) for front, back, ratio in PAIR.findall(TOKENS)]
LIGHT_TEXT, DARK_TEXT = TOKENS.split("@media (prefers-color-scheme: dark)")
LIGHT, DARK = dict(COLOUR.findall(LIGHT_TEXT)), dict(COLOUR.findall(DARK_TEXT))
AA_TEXT, AA_SHAPES = 4.5, 3.0
# What the same sheet says of type.
TYPE = {"sans", "serif", "plain", "strong", "drawn", "size-1", "size-2", "size-3", "size-4"}
# What fits a printed page: sizes of its type, the room of a row and shares of its width.
ON_PAPER = {"printed", "printed-large", "row", "beside"}


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb`, from 0 for black to 1 for white."""
    values = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in values)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, from 1 to 21."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_formula_gives_the_ends_of_the_scale_and_a_known_grey() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#123456", "#123456") == pytest.approx(1)
    # The lightest neutral grey that passes AA on white, and the next one, which fails.
    assert contrast("#767676", "#ffffff") >= AA_TEXT > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("front", "back", "ratio"), PAIRS, ids=[f"{f} on {b}" for f, b, _ in PAIRS])
def test_a_pair_has_the_contrast_it_declares(
    scheme: dict[str, str], front: str, back: str, ratio: float
) -> None:
    assert contrast(scheme[front], scheme[back]) >= ratio


def test_declared_ratios_are_those_of_wcag_or_stricter() -> None:
    shapes = {"edge", "focus", "barley-line"}
    assert all(ratio >= (AA_SHAPES if front in shapes else AA_TEXT) for front, _, ratio in PAIRS)


def test_both_schemes_name_the_same_colours_and_every_text_colour_has_a_pair() -> None:
    assert LIGHT.keys() == DARK.keys()
    paired = {name for front, back, _ in PAIRS for name in (front, back)}
    # A rule only parts what white space parts already, so that nothing depends on seeing it.
    assert LIGHT.keys() - paired == {"rule"}


def test_no_other_file_names_a_colour() -> None:
    look = "".join(sheet.read_text() for sheet in STATIC.glob("*.css") if sheet.name != "tokens.css")
    assert not re.findall(r"#[0-9a-fA-F]{3,8}\b(?=[;\s,)])|rgba?\(|hsla?\(", look)
    used = set(re.findall(r"var\(--([\w-]+)\)", look))
    # Widths of one place are said there: of a line's buttons, and of a picture past the edge of the text.
    assert used <= LIGHT.keys() | {"shade", "hand", "past"} | ON_PAPER | TYPE


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
def test_grounds_follow_each_other_in_lightness(scheme: dict[str, str]) -> None:
    grounds = sorted((luminance(scheme[name]) for name in ("paper", "card", "well")), reverse=scheme is LIGHT)
    assert all(one != other for one, other in pairwise(grounds))
