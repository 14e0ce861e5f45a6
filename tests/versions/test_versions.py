"""Pinned versions, licences and bills of materials agree with what is installed."""

from __future__ import annotations

import tomllib
from importlib.metadata import version
from typing import Any

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from docs.reading import section
from versions.bill import differences
from versions.licences import PAGE, licence, page
from versions.pins import CI, ROOT, RUN, needed, pins

EXTRAS = frozenset({"cluster", "pdf", "postgres"})


def test_what_people_install_is_pinned_with_all_it_needs_and_nothing_else() -> None:
    assert set(pins(RUN)) == needed("coach", EXTRAS)


def test_what_the_tests_need_is_pinned_too_in_one_place() -> None:
    run, more = set(pins(RUN)), set(pins(CI))
    assert run & more == set()
    assert needed("coach", frozenset({"test"})) - run - more == set()


def test_the_constraints_of_ci_begin_with_those_of_people_who_install() -> None:
    lines = (ROOT / CI).read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if line.startswith("-")] == ["-c ../.constraints.txt"]


@pytest.mark.parametrize("name", sorted(pins(RUN)))
def test_what_is_installed_is_what_is_pinned(name: str) -> None:
    pin = pins(RUN)[name]
    assert str(pin.specifier) == f"=={version(name)}"


@pytest.mark.parametrize("file", [RUN, CI])
def test_constraints_are_exact_and_name_no_address(file: str) -> None:
    loose = [str(pin) for pin in pins(file).values() if pin.url or not str(pin.specifier).startswith("==")]
    assert loose == []
    assert "://" not in (ROOT / file).read_text(encoding="utf-8")


def test_what_is_pinned_is_what_the_project_asks_for() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    groups = [project["dependencies"], *project["optional-dependencies"].values()]
    pinned = {**pins(CI), **pins(RUN)}
    asked = [Requirement(text) for group in groups for text in group]
    assert [one for one in asked if not _meets(pinned[canonicalize_name(one.name)], one)] == []


def _meets(pin: Requirement, asked: Requirement) -> bool:
    return asked.specifier.contains(str(pin.specifier).removeprefix("=="))


def test_the_page_of_licences_is_what_the_packages_say() -> None:
    assert (ROOT / PAGE).read_text(encoding="utf-8") == page()


@pytest.mark.parametrize("name", sorted(pins(RUN)))
def test_a_package_says_its_licence(name: str) -> None:
    assert licence(name) not in {"", "UNKNOWN"}


def test_every_file_of_others_is_on_the_page_and_has_its_licence_beside_it() -> None:
    told = section(PAGE, "Files of others in the repository").first_cells
    named = {path for pattern in told for path in ROOT.glob(pattern)}
    folders = {path.parent for path in named}
    there = {path for folder in ("coach", "tests") for path in (ROOT / folder).rglob("*.min.js")}
    there |= {*(ROOT / "coach").rglob("*.woff2"), *(ROOT / "coach").rglob("*.ttf")}
    assert named == there
    assert all(any(folder.glob("*.txt")) for folder in folders)


def bill(*parts: tuple[str, str]) -> dict[str, Any]:
    """A bill of materials of Steading and these parts."""
    listed = [{"name": name, "version": number} for name, number in parts]
    return {"metadata": {"component": {"name": "coach", "version": "0.1.0"}}, "components": listed}


def test_a_bill_of_materials_that_lists_what_is_installed_is_right() -> None:
    assert differences(bill(("Typing_Extensions", "4")), {"coach": "0.1.0", "typing-extensions": "4"}) == []


def test_each_difference_of_a_bill_of_materials_is_named() -> None:
    listed = bill(("click", "8"), ("idna", "3"), ("idna", "3"), ("nh3", "1"))
    assert differences(listed, {"coach": "0.1.0", "idna": "4", "nh3": "1", "h11": "0.16"}) == [
        "click 8 is listed and not installed.",
        "h11 0.16 is installed and not listed.",
        "idna is listed as 3 and installed as 4.",
        "Of 5 parts 1 are listed twice.",
    ]
