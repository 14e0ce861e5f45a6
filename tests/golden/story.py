"""A household's story in files a person can read: its log, and day by day what follows from it.

A story is a folder of `stories/` with

- `story.toml`: what it shows, its course, the last day told; where everything is kept, how it began;
- `log.csv`: the household's log (rules §7);
- `expected.txt`: one line for each household day, read against the rules by a person;
- `taps.csv`, in some: the same log as the household tapped it, each tap with the instant by the wall clock.
"""

from __future__ import annotations

import csv
import tomllib
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from coach.coaching.lessons_folder import shipped_lessons
from coach.course.reader import load_course
from coach.progress.csvform import read_log
from coach.progress.days import following
from coach.progress.log import MARKING, Row, What
from coach.progress.replay import each_day, replay

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from coach.course.model import Course
    from coach.progress.standing import Standing, StepStanding
    from coach.progress.unlocking import Reason

HERE = Path(__file__).parent
STORIES = sorted(path.name for path in (HERE / "stories").iterdir() if path.is_dir())

LEGEND = """\
# date, weekday, day, phase | what the household decided | what came | the step's lesson of the day, or in
# brackets what its text is about | the checklist as the day opened (* settled, (since ...) open from an
# earlier day) | what rests or is set aside | why the next step has not come | how occurrences closed, with
# kept/due after the close | what settled at the close
"""


@dataclass(frozen=True, slots=True)
class Tap:
    """One thing a household did, at an instant."""

    at: datetime
    what: str
    step: str
    value: str


@dataclass(frozen=True, slots=True)
class Beginning:
    """How a household begins that keeps everything: its log follows from that."""

    since: date
    first: str
    pace: str


@dataclass(frozen=True, slots=True)
class Story:
    """A story as its files tell it."""

    name: str
    shows: str
    course: Course
    rows: tuple[Row, ...]
    until: date
    folder: Path
    keeps_all: Beginning | None = None

    @property
    def log(self) -> Path:
        """The file of its rows."""
        return self.folder / "log.csv"

    @property
    def expected(self) -> Path:
        """The file that says what follows."""
        return self.folder / "expected.txt"

    def taps(self) -> tuple[Tap, ...]:
        """What the household did, if the story tells it by the clock."""
        path = self.folder / "taps.csv"
        if not path.exists():
            return ()
        with path.open(encoding="utf-8", newline="") as file:
            return tuple(
                Tap(datetime.fromisoformat(tap["at"]), tap["what"], tap["step"], tap["value"])
                for tap in csv.DictReader(file)
            )


def story_of(name: str) -> Story:
    """Read the files of a story."""
    folder = HERE / "stories" / name
    about = tomllib.loads((folder / "story.toml").read_text(encoding="utf-8"))
    own = HERE / "courses" / about["course"]
    course = load_course(own if own.is_dir() else shipped_lessons() / about["course"])
    log = read_log((folder / "log.csv").read_text(encoding="utf-8"))
    assert log.faults == ()
    keeps_all = Beginning(**about["keeps_all"]) if "keeps_all" in about else None
    return Story(name, about["shows"], course, log.rows, about["until"], folder, keeps_all)


def all_kept(story: Story) -> list[Row]:
    """The rows of a household that keeps whatever is on its list, to the story's last day."""
    begun = story.keeps_all
    assert begun is not None, story.name
    rows = [Row(begun.since, What.START, begun.first, begun.pace)]
    for ahead in range((story.until - begun.since).days + 1):
        day = begun.since + timedelta(days=ahead)
        rows += [Row(day, What.KEPT, step) for step in replay(story.course, rows, day).checklist]
    return rows


def told(story: Story) -> str:
    """What follows from a story's log, in words."""
    return f"# {story.shows}\n{LEGEND}\n" + "".join(f"{line}\n" for line in _lines(story))


def standings(story: Story) -> list[Standing]:
    """The standing of every household day, and of the day after the last, which tells how that one closed."""
    found = list(each_day(story.course, story.rows, story.until))
    after = following(story.until, found[-1].zone)
    return [*found, *list(each_day(story.course, story.rows, after))[len(found) :]]


def _lines(story: Story) -> Iterator[str]:
    days = standings(story)
    for today, tomorrow in pairwise(days):
        head = f"{today.on} {today.on:%a} {today.day:3} {today.phase.value:10}"
        yield " | ".join([head, *(part for part in _parts(story, today, tomorrow) if part)])
    yield ""
    yield "# in the end: the step, where it stands, when it came and settled, kept/due, strength"
    yield from (_end(step) for step in days[-1].steps.values())


def _end(step: StepStanding) -> str:
    came, settled = step.introduced_on or "-", step.settled_on or "-"
    return (
        f"{step.step.id:16} {step.state.value:10} {came!s:10} {settled!s:10} "
        f"{step.kept:3}/{step.due:<3} {step.strength:.6f}"
    )


def _parts(story: Story, today: Standing, tomorrow: Standing) -> Iterator[str]:
    yield _named("says", [_said(row) for row in story.rows if row.date == today.on])
    yield _named("comes", [today.introduced] if today.introduced else [])
    yield _named("reads", [" ".join(map(str, today.lesson)) if today.lesson else f"({today.turn.value})"])
    would = "would list" if today.phase == "lapsed" else "list"
    yield _named(would, [_line(today, today.steps[step]) for step in today.checklist])
    yield _named("rests", list(today.resting))
    yield _named("aside", [name for name, step in today.steps.items() if step.set_aside])
    yield _named("waits for", [_reason(reason) for reason in today.reasons])
    yield from _closes(today, tomorrow)


def _named(name: str, parts: list[str]) -> str:
    said = ", ".join(part for part in parts if part)
    return f"{name} {said}" if said else ""


def _said(row: Row) -> str:
    if row.what in MARKING or row.what is What.START:
        return ""
    return " ".join(part for part in (row.what.value, row.step, row.value) if part)


def _line(today: Standing, step: StepStanding) -> str:
    settled = "*" if step.state == "settled" else ""
    since = step.open_since
    open_since = f" (since {since:%a})" if since is not None and since != today.on else ""
    return f"{step.step.id}{settled}{open_since}"


def _reason(reason: Reason) -> str:
    if reason.kind in {"settles", "hold"}:
        of = f"{reason.kept}/{reason.seen}, needs {reason.needs} of {reason.of}"
        return f"{reason.step or reason.kind} ({of})"
    return f"{reason.kind} {reason.step}" if reason.step else reason.kind


def _closes(today: Standing, tomorrow: Standing) -> Iterator[str]:
    """What changed at the close, seen in the standing of the next day."""
    before: Mapping[str, StepStanding] = today.steps
    kept: list[str] = []
    missed: list[str] = []
    for name, after in tomorrow.steps.items():
        was = before.get(name)
        if was is None or after.due == was.due:
            continue
        (kept if after.kept > was.kept else missed).append(f"{name} {after.kept}/{after.due}")
    settled = [name for name, after in tomorrow.steps.items() if after.settled_on == today.on]
    yield _named("kept", kept)
    yield _named("missed", missed)
    yield _named("settles", settled)
