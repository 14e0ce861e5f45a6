"""How a use case writes: look, decide, append, look again and answer, all in one transaction."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Generic, TypeVar

from coach.errors import Repeated
from coach.ground.past import fold_past, past_before, stops_before
from coach.ground.situation import Situation, begun, situation
from coach.ground.spacing import thinning
from coach.ground.versions import noticed
from coach.progress.days import ONE_DAY
from coach.progress.replay import close_through, open_on

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import datetime

    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context, Household, Writing
    from coach.ground.rows import SavedStanding
    from coach.progress.log import Row
    from coach.progress.state import State

V = TypeVar("V")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Decision(Generic[V]):
    """What a use case wants written, and what it answers with.

    Attributes:
        value: Handed on to the answer.
        log: Rows for the log, in order.
        plan: Rows for the plan, in order.
        home: The household's own row with other settings, if they change.
        then: Done in the same transaction once rows of the plan were written.
        tapped_at: When what the rows of the log say was tapped, aware, if that was earlier than now.
    """

    value: V
    log: Sequence[Row] = ()
    plan: Sequence[PlanRow] = ()
    home: Household | None = None
    then: Callable[[Writing, Situation], None] | None = None
    tapped_at: datetime | None = None


def to_log(rows: Sequence[Row], value: V = None) -> Decision[V]:  # type: ignore[assignment]  # no value, no type
    """Rows for the log, and what to answer with."""
    return Decision(value, log=rows)


def to_plan(rows: Sequence[PlanRow], value: V = None) -> Decision[V]:  # type: ignore[assignment]  # the same
    """Rows for the plan, and what to answer with."""
    return Decision(value, plan=rows)


def written(
    context: Context,
    household: str,
    decide: Callable[[Situation], Decision[V]],
    answer: Callable[[Situation, V], R],
    *,
    on: date | None = None,
) -> R:
    """Write what `decide` asks for, if anything, and answer with what follows.

    Looking, deciding, writing and answering happen in one transaction, so two phones at once cannot cross.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        decide: Given the situation, what to write; it raises what speaks against it.
        answer: Given the situation that follows and the decision's value, the answer.
        on: The date to look at, or None for today.

    Raises:
        Outdated: What the one who writes has seen does not stand any more (`Context.sure`).
        Repeated: The request was written already (`Context.request_id`).
    """
    with context.store.writing(household) as writing:
        refuse_repeated(context, writing, "This was written down already; nothing was added a second time.")
        draft = _draft(context, writing, on)
        noticed(draft.where.context, writing, draft.where.versions[-1])
        if context.sure is not None:
            context.sure(draft.where)
        decision = decide(draft.where)
        placed = _put(draft, writing, decision)
        return answer(placed, decision.value)


def refuse_repeated(context: Context, writing: Writing, reason: str) -> None:
    """Refuse a form that is sent again; a program's request is answered (`coach.ground.once`).

    Raises:
        Repeated: What it asks for was written already.
    """
    if context.request_id is not None and not context.again and writing.wrote(context.request_id):
        raise Repeated(reason)


def _put(draft: _Draft, writing: Writing, decision: Decision[V]) -> Situation:
    """Write what was decided and give what follows; a request seen before leaves all as it is."""
    where, context = draft.where, draft.where.context
    now, request_id, by = context.clock(), context.request_id, context.by
    old = where.home
    if decision.log:
        if not writing.append(decision.log, now, request_id, by, decision.tapped_at):
            return where
        where = draft.after(decision.log)
        draft.keep(writing, min(row.date for row in decision.log))
    if decision.plan:
        if not writing.put_plan(decision.plan, now, request_id, by):
            return where
        where.plan.forget()
        if decision.then is not None:
            decision.then(writing, where)
    home = decision.home
    if home is None or home == old:
        return where.grown()
    writing.settings(home.zone, home.day_starts, home.week_starts)
    return situation(where.context, writing, draft.on)


def save_standings(context: Context, writing: Writing) -> None:
    """Keep standings of the days gone by and of yesterday, and see that today opens.

    Raises:
        Malformed: A row of the log cannot be used.
    """
    _draft(context, writing, None).keep(writing, date.max)


@dataclass(frozen=True, slots=True)
class _Draft:
    """A situation about to change.

    Attributes:
        where: As it stands.
        before: The state before its day opened, to open that day once more.
        kept: Standings on the way to it that are not kept yet.
        on: The date that was asked for, or None for today.
    """

    where: Situation
    before: State
    kept: Sequence[SavedStanding]
    on: date | None

    def keep(self, writing: Writing, before: date) -> None:
        """Keep the standings that no row from a date on can change."""
        found = [saved for saved in self.kept if saved.through < before]
        if found:
            spaced = thinning(self.before.started, self.where.today)
            writing.save_standings(found, replace(spaced, gone=self.where.past.spoiled))

    def after(self, rows: Sequence[Row]) -> Situation:
        """The situation once these rows are written; closed days are folded again only if they change."""
        where, before, first = self.where, self.before, min(row.date for row in rows)
        past, on = where.past.with_rows(rows), where.opening.date
        if not past.reaches(first):
            past = past_before(where.context, where.home, where.reading, where.versions, first)
        # What was worked out of the plan may count days away, which are in the log.
        where.plan.forget()
        is_closed = before.through is not None and first <= before.through
        state = past.resumed() if is_closed else before
        return replace(where, past=past, state=state, opening=open_on(state, past.book, on))


def _draft(context: Context, writing: Writing, on: date | None) -> _Draft:
    """The situation on a date, with the fold up to the day before it kept."""
    read = begun(context, writing, on)
    stops = stops_before(read.past, read.state.started, read.on, read.today)
    kept = fold_past(read.past, read.state, stops)
    close_through(read.state, read.past.book, read.on - ONE_DAY)
    before = read.state.copy()
    return _Draft(read.opened(), before, kept, on)
