"""What the docs show is what one gets: the examples of the JSON interface, of course files, of commands."""

from __future__ import annotations

import io
import json
import tomllib
import zipfile
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from starlette.testclient import TestClient

from coach.app import create_app
from coach.cli import main
from coach.coaching.library import find_course
from coach.course.course_table import course_faults
from coach.course.drafts import draft
from coach.course.groups import groups_of
from coach.course.texts import cautions_of
from coach.progress.csvform import read_log
from coach.progress.replay import replay
from coach.progress.standing import replay_json
from coach.settings import Settings
from docs.reading import ROOT, Fence, chapters, section, sections
from docs.valley_told import OF_COACH, OF_HOUSEHOLD, TOLD_ON, told_to_ana, told_to_olga

if TYPE_CHECKING:
    from collections.abc import Callable
    from contextlib import AbstractContextManager
    from pathlib import Path

LEFT_OUT = "…"
JSON = chapters("docs/json")
PICTURES = ROOT / "docs" / "pictures"


@dataclass(frozen=True)
class Example:
    """A request on a date, with the answer that is shown.

    Attributes:
        kind: `json`, `csv`, or `zip`, whose answer is the names of its parts.
    """

    on: date
    request: str
    kind: str
    status: int
    answer: str

    @property
    def first_line(self) -> str:
        """Method and address."""
        return self.request.splitlines()[0]


def examples(page: str) -> list[Example]:
    """A page's examples in order: every request is followed by its answer."""
    fences = [fence for found in sections(page) for fence in found.fences]
    asked, answered = fences[::2], fences[1::2]
    assert all(fence.info[0] == "http" for fence in asked)
    return [_example(request, answer) for request, answer in zip(asked, answered, strict=True)]


def story() -> list[Example]:
    """The story of a home in the order of its dates, and on one date in the order of the pages."""
    told = [example for page in JSON if page not in {OF_COACH, OF_HOUSEHOLD} for example in examples(page)]
    return sorted(told, key=lambda example: example.on)


def _example(request: Fence, answer: Fence) -> Example:
    on = date.fromisoformat(request.info[1])
    return Example(on, request.text, answer.info[0], int(answer.info[1]), answer.text)


@pytest.mark.parametrize("page", JSON)
def test_a_page_of_the_json_interface_tells_its_days_in_order(page: str) -> None:
    dates = [example.on for example in examples(page)]
    assert dates
    assert dates == sorted(dates)


def test_the_story_of_the_json_pages_is_what_one_gets(tmp_path: Path) -> None:
    app = create_app(Settings(database=f"sqlite:///{tmp_path / 'home.db'}"))
    with TestClient(app, base_url="http://127.0.0.1:8420") as http:
        for example in story():
            app.state.context = replace(app.state.context, pretend=example.on)
            _check(http, example)


@pytest.mark.parametrize(("page", "told_to"), [(OF_COACH, told_to_ana), (OF_HOUSEHOLD, told_to_olga)])
def test_what_is_told_of_a_group_is_what_its_coach_and_a_household_in_it_get(
    page: str, told_to: Callable[[Path], AbstractContextManager[TestClient]], tmp_path: Path
) -> None:
    with told_to(tmp_path) as http:
        for example in examples(page):
            assert example.on == TOLD_ON
            _check(http, example)


def _check(http: TestClient, example: Example) -> None:
    head, _, body = example.request.partition("\n\n")
    (method, address), *fields = (line.split(maxsplit=1) for line in head.splitlines())
    headers = {name.rstrip(":"): value for name, value in fields}
    answer = http.request(method, address, headers=headers, content=body.encode())
    assert answer.status_code == example.status, (example.first_line, answer.text)
    if example.kind == "zip":
        with zipfile.ZipFile(io.BytesIO(answer.content)) as file:
            assert file.namelist() == example.answer.split()
    elif example.kind == "csv":
        shown = example.answer.rstrip().removesuffix(LEFT_OUT)
        assert answer.text.replace("\r\n", "\n").startswith(shown)
    else:
        assert differences(json.loads(example.answer), answer.json()) == [], example.first_line


def differences(shown: Any, real: Any, path: str = "") -> list[str]:  # noqa: ANN401  any JSON
    """Where an answer differs from what is shown, but for what is shown as left out."""
    if shown == LEFT_OUT:
        return []
    if isinstance(shown, dict) and isinstance(real, dict):
        return _differences_of_objects(shown, real, path)
    if isinstance(shown, list) and isinstance(real, list):
        return _differences_of_lists(shown, real, path)
    if isinstance(shown, str) and shown.endswith(LEFT_OUT) and isinstance(real, str):
        return [] if real.startswith(shown.removesuffix(LEFT_OUT)) else [f"{path}: {shown} and {real}"]
    return [] if shown == real else [f"{path}: {shown} and {real}"]


def _differences_of_objects(shown: dict[str, Any], real: dict[str, Any], path: str) -> list[str]:
    told = {key: value for key, value in shown.items() if key != LEFT_OUT}
    missing = [f"{path}/{key} is not there" for key in told.keys() - real.keys()]
    if LEFT_OUT not in shown:
        missing += [f"{path}/{key} is not shown" for key in real.keys() - told.keys()]
    both = told.keys() & real.keys()
    return missing + [found for key in both for found in differences(told[key], real[key], f"{path}/{key}")]


def _differences_of_lists(shown: list[Any], real: list[Any], path: str) -> list[str]:
    told = shown[:-1] if shown[-1:] == [LEFT_OUT] else shown
    if len(told) > len(real) or (told is shown and len(told) < len(real)):
        return [f"{path}: {len(told)} and {len(real)}"]
    pairs = enumerate(zip(told, real, strict=False))
    return [found for place, (one, other) in pairs for found in differences(one, other, f"{path}/{place}")]


@pytest.mark.parametrize("page", JSON)
def test_every_endpoint_has_an_example_on_its_page(page: str) -> None:
    asked = {example.first_line.split("?")[0] for example in examples(page)}
    for found in sections(page):
        if found.title.startswith("`"):
            method, pattern = found.title.strip("`").split()
            ways = pattern.split("/")
            assert any(_is_of(ways, line.split(), method) for line in asked), found.title


def _is_of(ways: list[str], line: list[str], method: str) -> bool:
    parts = line[1].split("/")
    return (
        line[0] == method
        and len(parts) == len(ways)
        and all(way.startswith("{") or way == part for way, part in zip(ways, parts, strict=True))
    )


def test_the_step_file_is_accepted() -> None:
    shown = section("docs/writing-a-course.md", "A step").fences[0]
    assert draft("02-coats-hung.md", shown.text.encode()).faults == ()


def test_the_course_file_is_accepted() -> None:
    shown = section("docs/writing-a-course.md", "course.toml").fences[0]
    assert course_faults(tomllib.loads(shown.text)) == []


def test_the_caution_is_accepted() -> None:
    shown = section("docs/writing-a-course.md", "Cautions").fences[0]
    assert list(cautions_of("cautions.toml", shown.text.encode())) == ["attic-ladder"]


def test_the_groups_are_accepted() -> None:
    shown = section("docs/writing-a-course.md", "Groups of the catalogue").fences[0]
    [group] = groups_of("groups.toml", shown.text.encode(), ("hatch-closed", "boxes-labelled"))
    assert group.title == "Under the roof"


def test_the_replayed_day_is_as_shown() -> None:
    log = "date,what,step,value\n2027-01-04,start,,\n2027-01-04,kept,bed-made,\n2027-01-05,small,bed-made,\n"
    log += "2027-01-06,kept,bed-made,\n"
    standing = replay(find_course("three-weeks"), read_log(log).rows, date(2027, 1, 7))
    shown = section("docs/rules.md", "7. The replay command").fences[0]
    assert json.loads(shown.text) == replay_json(standing)


@pytest.fixture
def starter(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    folder = tmp_path / "my-course"
    assert main(["course", "new", str(folder)]) == 0
    capsys.readouterr()
    return folder


def test_the_starter_is_checked_as_shown(starter: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["course", "check", str(starter)]) == 0
    begin = section("docs/writing-a-course.md", "Begin")
    assert f"`{capsys.readouterr().out.strip()}`" in begin.text
    files = [token.content for token in begin.tokens if token.type == "code_block"][-1]
    assert set(files.split()) == {"my-course/", *(path.name for path in starter.iterdir())}


def test_the_table_of_the_starter_is_as_shown(starter: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["course", "show", str(starter)]) == 0
    assert capsys.readouterr().out == section("docs/writing-a-course.md", "The graph").fences[0].text


def test_the_picture_of_the_starter_is_as_shown(starter: Path) -> None:
    drawn = starter.parent / "hall.svg"
    assert main(["course", "draw", str(drawn), str(starter)]) == 0
    assert drawn.read_text(encoding="utf-8") == (PICTURES / "hall.svg").read_text(encoding="utf-8")


def test_the_faults_are_named_as_shown(starter: Path, capsys: pytest.CaptureFixture[str]) -> None:
    coats = starter / "02-coats-hung.md"
    text = coats.read_text(encoding="utf-8").replace("\nminutes =", "\nminuts =")
    coats.write_text(text.replace('["shoes-in-row"]', '["shoes-in-a-row"]'), encoding="utf-8")
    assert main(["course", "check", str(starter)]) == 1
    assert capsys.readouterr().out == section("docs/writing-a-course.md", "The check").fences[0].text


def test_the_log_of_the_page_for_coaches_replays(starter: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = starter.parent / "log.csv"
    log.write_text(section("docs/writing-a-course.md", "Trying it").fences[0].text, encoding="utf-8")
    on = ["--course", str(starter), "--on", "2027-01-08", "--each-day"]
    assert main(["replay", str(log), *on]) == 0
    assert len(capsys.readouterr().out.splitlines()) == 5


def test_the_pace_of_a_course_is_as_shown(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["pace", "--adherence", "0.8", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    shown = json.loads(section("docs/commands.md", "`coach pace`").fences[0].text)
    means, shown_means = [[one.pop("mean") for one in (answer, *answer["steps"])] for answer in (told, shown)]
    assert means == pytest.approx(shown_means, abs=1e-9)
    assert told == shown
