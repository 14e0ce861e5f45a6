"""What a household's days are folded from: the course as it stood, a saved standing, the rows since."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from coach.ground.findings import log_finding
from coach.ground.log_rows import rows_of, startable
from coach.ground.rows import SavedStanding
from coach.ground.spacing import spaced
from coach.ground.versions import timeline
from coach.progress.days import ONE_DAY
from coach.progress.journal import Journal, Version, journal
from coach.progress.kept_state import kept_state
from coach.progress.replay import begin, close_through
from coach.progress.state_form import state_json

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date

    from coach.ground.findings import Finding
    from coach.ground.ports import Context, CourseVersion, Household, Reading
    from coach.ground.versions import Timeline
    from coach.progress.log import Row
    from coach.progress.state import State


@dataclass(frozen=True, slots=True)
class Past:
    """What a fold begins with.

    Attributes:
        timeline: The course's versions, read.
        digests: Names the versions up to each of them, as saved standings are named.
        saved: The latest saved standing before the date that was asked for.
        book: The log's rows after it, made ready for the fold.
        state: The state it holds.
        spoiled: The dates of saved standings that cannot be read, to be thrown away.
        findings: What is wrong with what was read, and what stands in.
    """

    timeline: tuple[Version, ...]
    digests: tuple[str, ...]
    saved: SavedStanding | None
    book: Journal
    state: State | None = None
    spoiled: frozenset[date] = frozenset()
    findings: tuple[Finding, ...] = ()

    def resumed(self) -> State:
        """A state to fold on from: the saved one, or that before the first day."""
        return begin(self.book) if self.state is None else self.state.copy()

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
    """What the days before a date are folded from.

    Raises:
        StoreError: Nothing is left to fold them from.
    """
    followed = timeline(context, home, reading, versions)
    saved, state, spoiled = _saved(reading, followed, before)
    since = saved.through + ONE_DAY if saved else None
    rows, left = rows_of(reading, home.zone, since, followed.versions)
    book, fault = journal(followed.versions, rows), None
    if saved is None:
        book, fault = startable(book, rows)
    found = [*followed.findings, *([log_finding(left)] if left else []), *([fault] if fault else [])]
    return Past(followed.versions, followed.digests, saved, book, state, spoiled, tuple(found))


def _saved(
    reading: Reading, followed: Timeline, before: date
) -> tuple[SavedStanding | None, State | None, frozenset[date]]:
    """The latest standing saved before a date that was folded with the versions that held by then.

    Returns:
        It, its state, and the dates of later ones that are damaged.
    """
    spoiled: set[date] = set()
    while (saved := reading.standing(before, followed.digests)) is not None:
        later = followed.versions[followed.digests.index(saved.digest) + 1 :]
        if all(version.since > saved.through for version in later):
            course = journal(followed.versions, ()).course_on(saved.through)
            if state := kept_state(saved.state, course, saved.through):
                return saved, state, frozenset(spoiled)
            spoiled.add(saved.through)
        before = saved.through
    return None, None, frozenset(spoiled)


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
