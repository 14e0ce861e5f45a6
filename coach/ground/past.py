"""What a household's days are folded from: the course as it stood, a saved standing, the rows since."""

from __future__ import annotations

from dataclasses import dataclass, replace
from hashlib import sha256
from typing import TYPE_CHECKING

from coach.course.jsonform import course_from_json, course_json
from coach.ground.ports import CourseVersion, SavedStanding
from coach.ground.spacing import spaced
from coach.progress.days import ONE_DAY
from coach.progress.journal import Journal, Version, journal
from coach.progress.replay import begin, close_through
from coach.progress.state import FORMAT, State, state_from_json, state_json

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date

    from coach.course.model import Course
    from coach.ground.ports import Context, Household, Reading, Writing
    from coach.progress.log import Row


@dataclass(frozen=True, slots=True)
class Past:
    """What a fold begins with.

    Attributes:
        timeline: The course's versions, read.
        digests: Names the versions up to each of them, as saved standings are named.
        saved: The latest saved standing before the date that was asked for.
        book: The log's rows after it, made ready for the fold.
    """

    timeline: tuple[Version, ...]
    digests: tuple[str, ...]
    saved: SavedStanding | None
    book: Journal

    def resumed(self) -> State:
        """A state to fold on from: the saved one, or that before the first day."""
        if self.saved is None:
            return begin(self.book)
        return state_from_json(self.saved.state, self.book.course_on(self.saved.through))

    def reaches(self, on: date) -> bool:
        """Whether the day can be folded from here."""
        return self.saved is None or self.saved.through < on

    def with_rows(self, rows: Sequence[Row]) -> Past:
        """The same with rows just written."""
        return replace(self, book=self.book.with_rows(rows))

    def kept(self, state: State) -> SavedStanding | None:
        """A state as it is saved; None before the first day has closed."""
        if state.through is None:
            return None
        held = sum(version.since <= state.through for version in self.timeline)
        return SavedStanding(state.through, self.digests[max(held, 1) - 1], state_json(state))


def past_before(
    context: Context, home: Household, reading: Reading, versions: Sequence[CourseVersion], before: date
) -> Past:
    """What the days before a date are folded from."""
    timeline = tuple(Version(one.since, _course(context, home, reading, one)) for one in versions)
    digests = tuple(_digest(versions[: count + 1]) for count in range(len(versions)))
    saved = _saved(reading, versions, digests, before)
    rows = reading.rows(saved.through + ONE_DAY if saved else None)
    return Past(timeline, digests, saved, journal(timeline, rows))


def versions_of(context: Context, home: Household, reading: Reading, today: date) -> list[CourseVersion]:
    """The versions of the course, with the files' present one from today on if that is new."""
    held, course = _in_force(reading.courses(), today), context.library.course(home.course)
    if held and held[-1].digest == course.digest:
        return held
    return [*held, CourseVersion(today, course.digest)]


def _in_force(stored: Sequence[CourseVersion], today: date) -> list[CourseVersion]:
    """The versions up to a date; what was noticed later, by a clock that was ahead, does not hold yet."""
    return [version for version in stored if version.since <= today] or list(stored[:1])


def noticed(context: Context, writing: Writing, version: CourseVersion) -> None:
    """Write down the version of the course's present files, so that days closed so far keep what they were.

    Nothing is written if it is known already, or if its household or its files are others by now.
    """
    home, stored = writing.household(), writing.courses()
    held = _in_force(stored, version.since)
    if home is None or (held and held[-1].digest == version.digest):
        return
    course = context.library.course(home.course)
    if course.digest == version.digest:
        writing.add_course(version, course_json(course))


def _digest(versions: Sequence[CourseVersion]) -> str:
    lines = f"{FORMAT}\n" + "\n".join(f"{version.since} {version.digest}" for version in versions)
    return sha256(lines.encode()).hexdigest()


def _course(context: Context, home: Household, reading: Reading, version: CourseVersion) -> Course:
    current = context.library.course(home.course)
    if current.digest == version.digest:
        return current
    course: Course = context.memo.get(
        ("course", version.digest),
        version.digest,
        lambda: course_from_json(reading.course_content(version.digest)),
    )
    return course


def _saved(
    reading: Reading, versions: Sequence[CourseVersion], digests: Sequence[str], before: date
) -> SavedStanding | None:
    """The latest standing saved before a date that was folded with the versions that held by then."""
    while (saved := reading.standing(before, digests)) is not None:
        later = versions[digests.index(saved.digest) + 1 :]
        if all(version.since > saved.through for version in later):
            return saved
        before = saved.through
    return None


def stops_before(past: Past, started: date, on: date, today: date) -> Iterator[date]:
    """The dates before `on` through which a standing is to be kept and is not yet.

    They are spaced from the start on, up to the last day that no mark can change any more; and yesterday, so
    that what is marked today folds nothing again.

    Args:
        past: What the days are folded from.
        started: The household's first day.
        on: The date that is looked at.
        today: The current date.
    """
    through = past.saved.through if past.saved else started
    yield from (day for day in spaced(started, today) if through < day < on - ONE_DAY)
    if on == today and started <= today - ONE_DAY and (past.saved is None or through < today - ONE_DAY):
        yield today - ONE_DAY


def fold_past(past: Past, state: State, stops: Iterable[date]) -> list[SavedStanding]:
    """Fold the days up to each of the stops into a state, and give the standing at each to be kept."""
    found = []
    for stop in stops:
        close_through(state, past.book, stop)
        if (saved := past.kept(state)) is not None:
            found.append(saved)
    return found
