"""The docs name everything there is, nothing there is not, and lead nowhere that does not exist."""

from __future__ import annotations

import argparse
import pkgutil
import re
import tomllib
from importlib import import_module
from typing import TYPE_CHECKING, Any, get_args

import pytest
from fastapi import APIRouter
from fastapi.routing import APIRoute

from coach import limits
from coach.app import create_app
from coach.cli import parser
from coach.course import groups, rooms, starters, texts
from coach.course.course_table import COURSE_KEYS
from coach.course.definition import STEP_KEYS
from coach.course.model import Course, Step
from coach.course.recurrence import in_words
from coach.progress.log import What
from coach.progress.unlocking import Kind
from coach.settings import Settings
from coach.web import api
from coach.web.problem_kinds import KINDS
from docs.reading import PAGES, ROOT, anchors, chapters, code, links, section, sections

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


def commands(top: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    """The parsers of all commands that do something."""
    groups = [action for action in top._actions if isinstance(action, argparse._SubParsersAction)]  # noqa: SLF001
    if not groups:
        yield top
    for group in groups:
        for below in group.choices.values():
            yield from commands(below)


COMMANDS = {command.prog: command for command in commands(parser())}


def arguments(command: argparse.ArgumentParser) -> set[str]:
    """A command's options and arguments as its help shows them."""
    named = [action for action in command._actions if not isinstance(action, argparse._HelpAction)]  # noqa: SLF001
    return {
        action.option_strings[-1] if action.option_strings else str(action.metavar or action.dest)
        for action in named
    }


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_has_a_section_with_exactly_its_arguments(name: str) -> None:
    listed = [item.partition(": ")[0] for item in section("docs/commands.md", f"`{name}`").items]
    documented = {argument.split()[0] for names in listed for argument in code(names)}
    assert documented == arguments(COMMANDS[name])


def test_no_command_is_documented_that_is_not_there() -> None:
    titles = [found.title.strip("`") for found in sections("docs/commands.md")]
    assert titles[1:] == list(COMMANDS)


def endpoints_told(page: str) -> list[str]:
    """The endpoints a page has sections for."""
    return [found.title.strip("`") for found in sections(page) if found.title.startswith("`")]


def test_every_endpoint_has_one_section_and_there_is_no_other(tmp_path: Path) -> None:
    app = create_app(Settings(database=f"sqlite:///{tmp_path / 'home.db'}"))
    app.state.context.store.close()
    there = [f"{verb.upper()} {path}" for path, item in app.openapi()["paths"].items() for verb in item]
    told = [endpoint for page in chapters("docs/json") for endpoint in endpoints_told(page)]
    assert sorted(told) == sorted(there)


TOLD_ON = {"coaching": ("coaching", "groups")}
"""The pages of a room that has several: what households ask for, and what coaches do."""

ROOMS = [found.name for found in pkgutil.iter_modules(api.__path__) if found.ispkg]


@pytest.mark.parametrize("room", ROOMS)
def test_an_endpoint_is_told_on_the_page_of_its_room(room: str) -> None:
    package = import_module(f"coach.web.api.{room}")
    names = [found.name for found in pkgutil.iter_modules(package.__path__)]
    modules = [import_module(f"{package.__name__}.{name}") for name in names]
    routers = [one for module in modules for one in vars(module).values() if isinstance(one, APIRouter)]
    routes = [route for router in routers for route in router.routes if isinstance(route, APIRoute)]
    there = {f"{verb} /api{route.path}" for route in routes for verb in route.methods or ()}
    assert there
    told = [one for page in TOLD_ON.get(room, (room,)) for one in endpoints_told(f"docs/json/{page}.md")]
    assert set(told) == there


@pytest.mark.parametrize("folder", ["docs/json", "docs/using", "docs/decisions"])
def test_the_index_of_a_folder_leads_to_each_of_its_pages_once(folder: str) -> None:
    pages = [str(path.relative_to(ROOT)) for path in (ROOT / folder).glob("*.md")]
    assert sorted(chapters(folder)) == sorted(pages)


def test_every_setting_is_named_with_its_option() -> None:
    named = section("docs/running.md", "Settings").first_cells
    assert set(named) == {f"COACH_{name.upper()}" for name in Settings.model_fields}


def test_every_kind_of_log_row_is_named() -> None:
    assert section("docs/rules.md", "4. The log").first_cells == [what.value for what in What]


def test_every_key_of_a_step_file_is_named() -> None:
    assert section("docs/writing-a-course.md", "A step").first_cells == list(STEP_KEYS)


def test_every_key_of_a_course_file_is_named() -> None:
    told = {name.partition(".")[0] for name in section("docs/writing-a-course.md", "course.toml").first_cells}
    assert told == set(COURSE_KEYS)


def test_every_key_of_texts_and_cautions_is_named() -> None:
    told = section("docs/writing-a-course.md", "Texts for other days")
    assert told.first_cells == list(texts._TEXT_KEYS)  # noqa: SLF001  there is no other list
    assert set(texts.OCCASIONS) <= set(code(told.text))
    assert section("docs/writing-a-course.md", "Cautions").first_cells == list(texts._CAUTION_KEYS)  # noqa: SLF001


def test_every_key_of_the_groups_is_named() -> None:
    told = section("docs/writing-a-course.md", "Groups of the catalogue")
    assert told.first_cells == list(groups.GROUP_KEYS)
    assert groups.GROUPS_FILE in code(told.text)


def test_every_key_of_a_starter_list_is_named() -> None:
    told = section("docs/writing-a-course.md", "Starter lists for rooms").first_cells
    assert told == [*rooms.ROOM_KEYS, *rooms.TASK_KEYS]
    assert set(rooms.ROOM_KEYS) <= set(told)


def test_every_key_of_a_page_to_begin_with_is_named() -> None:
    told = section("docs/writing-a-course.md", "Pages to begin with")
    assert told.first_cells == list(starters._KEYS)  # noqa: SLF001  there is no other list
    assert set(starters.PURPOSES) <= set(code(told.text))


def test_every_kind_of_problem_is_named_with_its_status() -> None:
    rows = section("docs/json/README.md", "Kinds of problem").rows
    assert {row[0].strip("`"): int(row[1]) for row in rows} == {
        name: status for name, (_, status, _) in KINDS.items()
    }


def test_every_bound_is_told_with_its_number() -> None:
    told = {row[3].strip("`"): row[1] for row in section("docs/running.md", "What is bounded").rows}
    assert told == {name: str(value) for name, value in vars(limits).items() if name.isupper()}


def test_every_reason_for_waiting_is_named() -> None:
    told = section("docs/json/habits.md", "Days").rows
    assert set(get_args(Kind)) <= {row[0].strip("`") for row in told}


def defaults(title: str) -> dict[str, Any]:
    """What a table of keys says that holds without them."""
    rows = section("docs/writing-a-course.md", title).rows
    values = {row[0].strip("`"): row[1] for row in rows if row[1]}
    single = {key: value for key, value in values.items() if value == "none" or value.count("`") == 2}
    return {key: None if value == "none" else _value(value.strip("`")) for key, value in single.items()}


def _value(text: str) -> object:
    """A value as TOML has it; a plain word needs no quotes in a table."""
    try:
        return tomllib.loads(f"it = {text}")["it"]
    except tomllib.TOMLDecodeError:
        return text


def test_the_defaults_of_a_step_are_as_told() -> None:
    step = Step("bed-made", "Make the bed")
    real = {
        key: list(value) if isinstance(value := getattr(step, key), tuple) else value for key in STEP_KEYS
    }
    real["settles"] = {"kept": step.settles.kept, "of": step.settles.of}
    told = defaults("A step")
    assert told == {key: value for key, value in real.items() if key != "title"}


def test_the_defaults_of_a_course_are_as_told() -> None:
    course = Course("A course", ())
    tables = {"hold": course.hold, "return": course.returning, "strength": course.strength}
    for path, value in defaults("course.toml").items():
        table, _, key = path.rpartition(".")
        assert value == getattr(tables.get(table, course), key), path


def test_the_rules_of_the_table_fall_as_told() -> None:
    for rule, words in section("docs/writing-a-course.md", "When it repeats").rows:
        assert in_words(rule.strip("`")) == words


def test_every_section_of_the_rules_that_code_names_is_there() -> None:
    numbers = {
        found.title.split()[0].rstrip(".") for found in sections("docs/rules.md") if found.title[0].isdigit()
    }
    named = {
        (str(path.relative_to(ROOT)), number)
        for path in ROOT.glob("coach/**/*.py")
        for number in re.findall(r"§(\d+(?:\.\d+)?)(?![\d.]*\d)", _about_our_rules(path))
    }
    assert named
    assert {(path, number) for path, number in named if number not in numbers} == set()


def _about_our_rules(path: Path) -> str:
    """A module's text without references to the sections of RFCs."""
    return re.sub(r"RFC \d+ §[\d.]+", "", path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("page", PAGES)
def test_links_lead_to_files_and_headings_that_exist(page: str) -> None:
    for link in links(page):
        target, _, anchor = link.partition("#")
        if target.startswith(("http://", "https://")):
            continue
        file = (ROOT / page).parent / target if target else ROOT / page
        assert file.exists(), link
        if anchor:
            assert anchor in anchors(str(file.resolve().relative_to(ROOT))), link


@pytest.mark.parametrize("page", PAGES)
def test_paths_in_the_text_exist(page: str) -> None:
    for path in re.findall(r"`((?:coach|tests|docs|lessons|\.ci)/[\w./-]*)`", _text(page)):
        assert (ROOT / path).exists(), path


@pytest.mark.parametrize("page", PAGES)
def test_tests_named_in_the_text_exist(page: str) -> None:
    named = set(re.findall(r"`(test_\w+)`", _text(page)))
    there = {name for path in ROOT.glob("tests/**/test_*.py") for name in _tests(path)} if named else set()
    assert named <= there


def _tests(path: Path) -> list[str]:
    return re.findall(r"^def (test_\w+)", path.read_text(encoding="utf-8"), re.MULTILINE)


def test_the_mutation_round_changes_rules_and_asks_tests_that_are_there() -> None:
    tools = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]
    changed, asked = (tools["mutmut"][key] for key in ("only_mutate", "pytest_add_cli_args_test_selection"))
    assert [one for one in (*changed, *asked) if not any(ROOT.glob(one))] == []
    rules = {path.parent for path in ROOT.glob("coach/*/rules/*.py")}
    assert rules <= {path.parent for one in changed for path in ROOT.glob(one)}


@pytest.mark.parametrize("page", PAGES)
def test_other_sites_are_named_only_as_sources(page: str) -> None:
    hosts = set(re.findall(r"https?://([\w.-]+)", _text(page)))
    # Names that nobody can have (RFC 2606 §2 and §3) stand for one's own.
    hosts = {host for host in hosts if host != "localhost" and not host.endswith(".example")}
    # A standard that is gone through is named with where it stands and its licence.
    standard = {"github.com", "creativecommons.org"} if page == "docs/security.md" else set()
    assert hosts <= {"127.0.0.1", "doi.org", "www.rfc-editor.org", "www.w3.org"} | standard


@pytest.mark.parametrize("page", PAGES)
def test_no_path_of_a_machine_is_named(page: str) -> None:
    assert re.findall(r"(?<![\w.~])/(?:home|root|tmp|work|usr|var)/", _text(page)) == []


def _text(page: str) -> str:
    return (ROOT / page).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("title", "ends"), [("Run it", "/coach serve"), ("Test it", "-m pytest tests/benchmarks")]
)
def test_the_readme_has_a_command_of_one_line(title: str, ends: str) -> None:
    first = section("README.md", title).fences[0]
    assert first.info == ("sh",)
    assert first.text.count("\n") == 1
    assert first.text.strip().endswith(ends)


def test_the_readmes_two_runs_leave_no_test_out_and_the_second_measures_alone() -> None:
    _, *runs = section("README.md", "Test it").fences[0].text.split("-m pytest")
    together, alone = (run.partition("&&")[0].split() for run in runs)
    assert together == ["-n", "auto", "--dist", "loadfile", "--ignore", "tests/benchmarks"]
    assert alone == ["tests/benchmarks"]


def test_the_readme_begins_with_the_job_and_shows_today() -> None:
    lines = _text("README.md").splitlines()
    assert lines[0] == "# Steading"
    assert lines[2].startswith("Steading is for ")
    assert "docs/pictures/today.png" in links("README.md")
