"""docs/security.md goes through every requirement there is, and names tests that are there."""

from __future__ import annotations

import ast
import re
import tomllib
from collections import Counter
from functools import cache
from typing import TYPE_CHECKING, Any

import pytest

from coach.household import codes, devices, pairing, passkeys, recovery, tries
from coach.store.every_table import ALL_TABLES
from coach.web.access import KEEPERS, KEEPERS_ENDS, KEEPERS_PAGES, OPEN, OPEN_FOLDERS
from coach.web.events import TOLD, WAY
from coach.web.rounds import KINDS
from docs.reading import ROOT, code, section, sections

if TYPE_CHECKING:
    from collections.abc import Iterator

PAGE = "docs/security.md"
STATES = {"met", "deviation", "does not apply"}
LISTED: dict[str, Any] = tomllib.loads((ROOT / "tests/external/asvs_5_0_0.toml").read_text(encoding="utf-8"))
CHAPTERS = {name: it for name, it in LISTED.items() if name != "version"}


def _asked(chapter: dict[str, Any]) -> Iterator[tuple[str, int]]:
    """The number and level of each requirement of levels 1 and 2."""
    for name, levels in chapter["sections"].items():
        for number, level in enumerate(levels, 1):
            if level < 3:
                yield f"{name}.{number}", level


def _rows() -> list[list[str]]:
    titles = {f"{name} {chapter['title']}" for name, chapter in CHAPTERS.items()}
    return [row for found in sections(PAGE) if found.title in titles for row in found.rows]


ROWS = {row[0]: row for row in _rows()}


@pytest.mark.parametrize("name", CHAPTERS)
def test_the_list_of_numbers_has_as_many_of_each_level_as_the_standard(name: str) -> None:
    levels = Counter(level for found in CHAPTERS[name]["sections"].values() for level in found)
    assert [levels[level] for level in (1, 2, 3)] == CHAPTERS[name]["counts"]


@pytest.mark.parametrize("name", CHAPTERS)
def test_every_requirement_has_one_row_with_its_level(name: str) -> None:
    chapter = CHAPTERS[name]
    rows = [(row[0], int(row[1])) for row in section(PAGE, f"{name} {chapter['title']}").rows]
    assert rows == list(_asked(chapter))


@cache
def _tests_in(file: str) -> frozenset[str]:
    path = ROOT / file
    if not path.is_file():
        return frozenset()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return frozenset(node.name for node in tree.body if isinstance(node, ast.FunctionDef))


def _named(row: list[str]) -> list[str]:
    return [name for name in code(row[4]) if name.startswith("tests/")]


@pytest.mark.parametrize("number", ROWS)
def test_a_row_says_what_is_asked_and_what_shows_it_or_why_not(number: str) -> None:
    row = ROWS[number]
    assert row[2]
    assert row[3] in STATES
    reason = re.sub(r"`tests/[^`]*`,?", "", row[4]).strip()
    if row[3] == "met":
        assert _named(row)
        assert not reason
    else:
        assert len(reason.split()) > 6
        assert reason.endswith(".")


@pytest.mark.parametrize("number", [number for number in ROWS if _named(ROWS[number])])
def test_the_tests_of_a_row_are_there(number: str) -> None:
    for name in _named(ROWS[number]):
        file, _, test = name.partition("::")
        assert test.startswith("test_")
        assert test in _tests_in(file), name


def _text(*titles: str) -> str:
    return " ".join(" ".join(section(PAGE, title).text.split()) for title in titles)


def test_the_bounds_of_the_page_are_those_of_the_code() -> None:
    ways = _text(
        "Ways in", "How long somebody stays in, and why", "How guessing is stopped", "What is logged"
    )
    span, waits = tries.ADDRESS_SPAN.total_seconds() / 60, recovery.SHEET_SPAN.total_seconds() / 60
    letters, alphabet, wrong = codes.LETTERS, len(codes.ALPHABET), codes.WRONG_TRIES
    for said in (
        f"{letters} letters out of {alphabet}",
        f"after {codes.MINUTES} minutes, or after {wrong} wrong codes",
        f"{devices.SECRET_BYTES} random bytes",
        f"not seen for {devices.UNSEEN.days} days, and for a year at most",
        f"{wrong} wrong codes end every code of their kind",
        f"one chance in {alphabet**letters // wrong:,} for each code",
        f"{tries.FROM_ONE_ADDRESS} wrong codes from one address within {span:.0f} minutes",
        f"{tries.FROM_ALL} from all addresses together",
        f"{codes.INVITATION_LETTERS} letters, made by a keeper",
        f"used once, or after {codes.DAYS} days",
        f"{pairing.MOST_DEVICES} devices and programs at the same time",
        f"The last {codes.MOST_SIGN_INS} lines stay",
        f"{recovery.WRONG_OF_SHEET} wrong codes of one sheet within {waits:.0f} minutes",
        f"{recovery.LETTERS} letters, of which {recovery.LETTERS - codes.GROUP} (69 bits) are secret",
        f"taken once and within {passkeys.ASKED_FOR.seconds // 60} minutes",
        f"asked {tries.ASKED} times within {span:.0f} minutes from one address at most",
    ):
        assert said in ways, said
    assert devices.LONGEST.days == 365


def test_every_table_is_told_of() -> None:
    told = section(PAGE, "What is kept where").first_cells
    assert sorted(told) == sorted(ALL_TABLES.tables)


def test_what_is_a_keepers_is_told_of() -> None:
    told = set(code(_text("Who may do what")))
    named = {*KEEPERS_PAGES, *KEEPERS_ENDS, *(f"{method} {route}" for method, route in KEEPERS)}
    assert named <= told
    assert {one for one in told if " " in one} - named == {"DELETE /api/people/{person}"}


def test_every_address_that_is_open_is_told_of() -> None:
    told = _text("Ways in")
    assert not [path for path in (*OPEN, *OPEN_FOLDERS) if f"`{path}`" not in told]


def test_every_kind_that_is_logged_is_told_of() -> None:
    told = section("docs/running.md", "What is logged").first_cells
    code_of = (path.read_text(encoding="utf-8") for path in (ROOT / "coach").rglob("*.py"))
    others = {kind for text in code_of for kind in re.findall(r'extra=\{"kind": "([a-z-]+)"\}', text)}
    others |= set(KINDS)
    assert "network" in others
    assert sorted(told) == sorted([*TOLD, WAY, *others, "Invalid HTTP request received."])
