"""What a household typed, made ready for paper, and letters that no face of type has."""

from __future__ import annotations

import sys
import unicodedata
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from coach.errors import NotReady
from coach.paper.answers import SheetLine
from coach.press import faces
from coach.press.letters import lines_of, plain
from coach.press.printed import Printed
from coach.press.setting import MOST_LETTERS
from coach.press.sheet import sheet
from press.made import OPEN, a_sheet
from press.reading import faces_that_are_not_inside, faults, text

if TYPE_CHECKING:
    from pathlib import Path

# One word each for a bed, or what is done with it.
SCRIPTS = (
    "кровать", "κρεβάτι", "מיטה", "سرير", "բազկաթոռ", "საწოლი", "बिस्तर", "বিছানা",
    "ਬਿਸਤਰਾ", "પથારી", "ଶଯ୍ୟା", "படுக்கை", "పడక", "ಹಾಸಿಗೆ", "കിടക്ക", "ඇඳ",
    "เตียง", "ຕຽງ", "အိပ်ရာ", "គ្រែ", "አልጋ", "ベッド", "침대", "床铺 床鋪",
)  # fmt: skip


def titled(title: str) -> Printed:
    line = SheetLine("step", title, "anytime", 1, None, OPEN)
    made = sheet(replace(a_sheet(1, full=False), lines=(line,)))
    assert isinstance(made, Printed)
    return made


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("Make the bed", "Make the bed"),
        ("a\tb\nc", "a b c"),
        ("a\x00b\x07\x7fc", "abc"),
        ("a\u202eb\u2067c", "abc"),
        ("שלום\u200f!", "שלום\u200f!"),
        ("\ud800x", "x"),
    ],
)
def test_every_letter_stays_and_what_is_none_goes(typed: str, kept: str) -> None:
    assert plain(typed) == kept


def test_lines_stay_lines() -> None:
    assert lines_of("a\x07\nb\r\nc") == "a\nb\nc"


@pytest.fixture
def bare(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without any faces of its own."""
    monkeypatch.setattr(faces, "with_the_machines", faces.own)


@pytest.mark.usefixtures("bare")
def test_letters_that_no_face_has_are_named_with_what_brings_them() -> None:
    with pytest.raises(NotReady, match=r"𠮷 .U.20BB7.*fonts-noto-cjk") as told:
        titled("Make the 𠮷 and ꀀ")
    assert "U+A000, yi syllable it" in str(told.value)
    assert "U+004D" not in str(told.value)


@pytest.mark.usefixtures("bare")
def test_of_very_many_letters_that_no_face_has_the_first_are_named() -> None:
    many = "".join(chr(0xA000 + at) for at in range(300))
    with pytest.raises(NotReady, match="and others") as told:
        titled(many)
    assert str(told.value).count("U+") == MOST_LETTERS


@pytest.mark.usefixtures("bare")
def test_a_letter_that_belongs_to_no_script_is_printed_as_the_sign_for_one() -> None:
    assert "a\N{REPLACEMENT CHARACTER}b" in text(titled("a\ue000b").pdf)


def test_the_machines_faces_are_taken_for_what_ours_lack(monkeypatch: pytest.MonkeyPatch) -> None:
    wide = faces.library().Fonts(
        include_system_fonts=False, include_embedded_fonts=True, font_paths=[faces.FOLDER]
    )
    monkeypatch.setattr(faces, "with_the_machines", lambda: wide)
    made = titled("\u13a0\u13a1\u13a2")
    assert faces_that_are_not_inside(made.pdf) == []


def test_the_faces_that_come_along_have_two_weights_and_hold_little() -> None:
    files = list(faces.FOLDER.glob("*.ttf"))
    assert {font.path.rpartition("/")[2] for font in faces.own().fonts() if font.path} == {
        file.name for file in files
    }
    assert {font.weight for font in faces.own().fonts()} == {400, 700}
    assert sum(file.stat().st_size for file in files) < 7_500_000


@pytest.mark.usefixtures("bare")
def test_a_household_may_write_in_its_own_script(tmp_path: Path) -> None:
    """Letters for the scripts that most people write in come along, whatever the machine has."""
    lines = tuple(
        SheetLine(f"step-{number}", title, "anytime", 1, None, OPEN) for number, title in enumerate(SCRIPTS)
    )
    made = sheet(replace(a_sheet(1, full=False), lines=lines))
    assert isinstance(made, Printed)
    assert faces_that_are_not_inside(made.pdf) == []
    assert faults(made.pdf, tmp_path) == []
    # Each line is another script, so that none is tried twice and one is forgotten.
    assert len(lines) == len({unicodedata.name(one.title[0]).split()[0] for one in lines})


def test_without_the_library_the_answer_says_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    faces.library.cache_clear()
    try:
        with pytest.raises(NotReady, match=r"pip install 'coach\[pdf\]'"):
            faces.library()
    finally:
        faces.library.cache_clear()
