"""Which step comes next, and why none has come: one set of questions answers both (rules §5.5)."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from math import ceil
from operator import sub
from typing import TYPE_CHECKING, Literal

from coach.progress.returning import DECIMALS, at_least

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from coach.progress.state import Record, State

Kind = Literal[
    "settles",
    "hold",
    "minutes",
    "after",
    "tomorrow",
    "returning",
    "resting",
    "paused",
    "lapsed",
    "complete",
]


@dataclass(frozen=True, slots=True)
class Reason:
    """Why the next step has not come yet.

    Attributes:
        kind: Which rule keeps it back.
        step: The step the rule looks at; of `after`, the step that waits.
        kept: Outcomes kept among those looked at; of `minutes`, the minutes now on the list.
        needs: Outcomes that must be kept; of `minutes`, the minutes the next step needs.
        of: Outcomes the rule looks at; of `minutes`, the ceiling.
        seen: Outcomes there are so far, at most `of`.
    """

    kind: Kind
    step: str | None = None
    kept: int | None = None
    needs: int | None = None
    of: int | None = None
    seen: int | None = None


def latest_kept(record: Record) -> tuple[int, int]:
    """Kept and seen among the latest outcomes that its `settles` looks at."""
    latest = record.outcomes[-record.step.settles.of :]
    return sum(kept for _, kept in latest), len(latest)


def has_settled(record: Record) -> bool:
    """Whether enough of its latest outcomes are kept."""
    return latest_kept(record)[0] >= record.step.settles.kept


def is_held(state: State) -> bool:
    """Whether too little was kept on the counted days for anything new."""
    if not state.counted or not any(record.active for record in state.records.values()):
        return False
    kept, outcomes = counted_share(state)
    return not at_least(kept, outcomes, state.course.hold.at_least)


def counted_share(state: State) -> tuple[int, int]:
    """Outcomes kept and in all on the counted days."""
    return sum(kept for kept, _ in state.counted), sum(outcomes for _, outcomes in state.counted)


def practised_waiting(state: State) -> list[Record]:
    """The waiting steps being practised."""
    return [record for record in state.records.values() if record.step.waits and record.practised]


def left_to_settle(state: State) -> tuple[str, ...]:
    """The waiting steps that have still to settle, come or not, in course order."""
    return tuple(
        step_id for step_id, record in state.records.items() if record.step.waits and not record.cleared
    )


def waiting_minutes(state: State) -> int:
    """Minutes a day of all active waiting steps."""
    return sum(
        record.step.minutes for record in state.records.values() if record.step.waits and record.active
    )


def ahead(state: State) -> Iterator[Record]:
    """The steps that have not come and are not set aside, in course order."""
    return (record for record in state.records.values() if not record.introduced and not record.set_aside)


def _cleared(state: State, step_id: str) -> bool:
    record = state.records.get(step_id)
    return record is not None and record.cleared


def is_unlocked(state: State, record: Record) -> bool:
    """Whether all it comes after, and one of those it may come after, are settled or set aside."""
    step = record.step
    return all(_cleared(state, name) for name in step.after) and (
        not step.after_any or any(_cleared(state, name) for name in step.after_any)
    )


def fits(state: State, record: Record) -> bool:
    """Whether its minutes stay within the household's ceiling."""
    return state.ceiling is None or record.step.minutes + waiting_minutes(state) <= state.ceiling


def candidates(state: State) -> Iterator[Record]:
    """The steps that may come now, in course order."""
    queue_is_full = len(practised_waiting(state)) >= state.course.at_once
    for record in ahead(state):
        if record.step.waits and (queue_is_full or not fits(state, record)):
            continue
        if is_unlocked(state, record):
            yield record


def next_step(state: State) -> Record | None:
    """The step that comes today: the wanted one if it may, else the first in course order."""
    if is_held(state):
        return None
    may_come = list(candidates(state))
    wanted = (record for record in may_come if record.step.id == state.wanted)
    return next(wanted, may_come[0] if may_come else None)


def reasons(state: State) -> tuple[Reason, ...]:
    """Why the next step has not come, as a day stands after its opening; one that neither rests nor returns.

    A step that may come already comes tomorrow, since at most one comes on a day; what keeps others back is
    said behind it. That a step comes after others is said only where nothing nearer keeps one back.
    """
    if state.resting:
        return (Reason("resting", state.resting[0]),)
    waiting = list(ahead(state))
    if not waiting:
        return (Reason("complete"),)
    coming = next_step(state)
    soon = (Reason("tomorrow", coming.step.id),) if coming else ()
    held = (_hold(state),) if is_held(state) else ()
    blockers = tuple(dict.fromkeys(_blockers(state, waiting)))
    nearer = soon + held + tuple(reason for reason in blockers if reason.kind != "after")
    return nearer or blockers


def _hold(state: State) -> Reason:
    kept, outcomes = counted_share(state)
    needs = ceil(round(state.course.hold.at_least * outcomes, DECIMALS))
    return Reason("hold", None, kept, needs, outcomes, outcomes)


def settling(record: Record) -> Reason:
    """How far a step being practised is from settling."""
    kept, seen = latest_kept(record)
    return Reason("settles", record.step.id, kept, record.step.settles.kept, record.step.settles.of, seen)


def lifted(record: Record) -> int:
    """How many bars of its gate a step has lifted: the most it kept among any `settles.of` outcomes in turn.

    There are `settles.kept` bars. A miss lowers none. Once it is settled or set aside, the next step is let
    in, and all are lifted; the last one not before, even if a rule that has become easier was met long ago.
    """
    bars, of = record.step.settles.kept, record.step.settles.of
    if record.cleared:
        return bars
    if not record.outcomes:
        return 0
    sums = list(accumulate((kept for _, kept in record.outcomes), initial=0))
    most = max(map(sub, sums[of:], sums), default=sums[-1])
    return min(bars - 1, most)


def _blockers(state: State, waiting: Iterable[Record]) -> Iterator[Reason]:
    practised = practised_waiting(state)
    queue_is_full = len(practised) >= state.course.at_once
    for record in waiting:
        if record.step.waits and queue_is_full:
            yield from map(settling, practised)
        elif not is_unlocked(state, record):
            yield from _missing(state, record)
        elif record.step.waits and not fits(state, record):
            yield Reason(
                "minutes", record.step.id, waiting_minutes(state), record.step.minutes, state.ceiling
            )


def _missing(state: State, record: Record) -> Iterator[Reason]:
    names = [name for name in (*record.step.after, *record.step.after_any) if not _cleared(state, name)]
    before = [state.records[name] for name in names if name in state.records]
    practised = [other for other in before if other.practised]
    if practised:
        yield from map(settling, practised)
    else:
        yield Reason("after", record.step.id)
