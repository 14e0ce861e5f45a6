"""How long it may take until the last step that others wait for settles, out of the household's own marks.

What is needed of the household is read in its transaction; the numbers are worked out once that has ended.
NumPy is loaded when somebody asks first, and not with the application.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from hashlib import sha256
from typing import TYPE_CHECKING, TypeVar

from coach.ground.situation import looking, stamp, stamp_of
from coach.habits.forecast_answers import Forecast, Held, Span
from coach.habits.forecast_record import record_in
from coach.habits.forecast_words import record_text, span_text
from coach.progress.days import ONE_DAY
from coach.progress.opening import Phase
from coach.progress.unlocking import left_to_settle

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.pace.evidence import Evidence
    from coach.pace.forecast import Household
    from coach.progress.opening import Opening
    from coach.progress.state import State

R = TypeVar("R")
_SEED_BYTES = 4


@dataclass(frozen=True, slots=True)
class Asked:
    """What a forecast is worked out of, once the transaction has ended.

    Attributes:
        on: The household's date.
        home: The household, as the numbers look at it.
        before: Its state after the close of yesterday, to open today otherwise; None where no date is said.
        seed: What futures are drawn with.
        record: What came of earlier forecasts.
    """

    on: date
    home: Household
    before: State | None
    seed: int
    record: Held

    def told(self) -> Forecast:
        """The forecast."""
        return Forecast(self.on, self.span(self.home), self.record, record_text(self.record))

    def span(self, home: Household) -> Span:
        """By when the last waiting step settles for a household that stands there."""
        from coach.pace.forecast import FEWEST_OUTCOMES, forecast  # noqa: PLC0415  NumPy takes memory: see the module's docstring

        found = forecast(home, self.seed)
        span = Span(
            from_=found.from_,
            to=found.to,
            median=found.median,
            likely=found.likely,
            futures=found.futures,
            seed=found.seed,
            cannot_say=found.cannot_say.value if found.cannot_say else None,
            text="",
        )
        return replace(span, text=span_text(span, self.on, home.evidence.outcomes, FEWEST_OUTCOMES))


def forecast(context: Context, household: str) -> Forecast:
    """The forecast of today; worked out anew only after something was written.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    return worked_out(context, household, "forecast", _question)


def forecast_in(where: Situation) -> Callable[[], Forecast]:
    """The forecast of today, out of a situation; to be called once its transaction has ended."""
    return later_in(where, "forecast", _question)


def worked_out(
    context: Context, household: str, name: str, question: Callable[[Situation], Callable[[], R]]
) -> R:
    """What a question comes to today, kept under a name while nothing is written.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        name: Names the result.
        question: Given the situation, what is called once the transaction has ended.

    Raises:
        NotStarted: The household has not chosen its first step.
    """

    def compute() -> R:
        with looking(context, household) as where:
            answer = question(where)
        return answer()

    return context.memo.get((name, household), stamp(context, household), compute)


def later_in(
    where: Situation, name: str, question: Callable[[Situation], Callable[[], R]]
) -> Callable[[], R]:
    """The same out of a situation; to be called once its transaction has ended."""
    memo, key, version = where.context.memo, (name, where.home.id), stamp_of(where)
    kept = memo.kept(key, version)
    if kept is not None:
        return lambda: kept
    answer = question(where)
    return lambda: memo.get(key, version, answer)


def _question(where: Situation) -> Callable[[], Forecast]:
    return asked_in(where).told


def asked_in(where: Situation) -> Asked:
    """What a forecast of today is worked out of."""
    from coach.pace.forecast import Household  # noqa: PLC0415  see the module's docstring

    evidence, before = _told_so_far(where)
    return Asked(
        on=where.today,
        home=Household(where.state, where.opening, where.book, evidence),
        before=before,
        seed=seed_of(where.home.id, where.today),
        record=record_in(where),
    )


def _told_so_far(where: Situation) -> tuple[Evidence, State | None]:
    """What the days before today told, and the state after the last of them.

    Where no date is said whatever they told, they are not folded.
    """
    from coach.pace.evidence import evidence_of  # noqa: PLC0415  see the module's docstring
    from coach.pace.posterior import OLDEST  # noqa: PLC0415  the same

    started = where.state.started
    first = max(started, where.today - OLDEST * ONE_DAY)
    states: list[State] = []
    if where.opening.phase is Phase.LAPSED or where.opening.comeback or not left_to_settle(where.state):
        return evidence_of(started, ()), None

    def closed() -> Iterator[tuple[Opening, State]]:
        for opening, state in where.closed(first, where.today - ONE_DAY):
            states[:] = [state]
            yield opening, state

    evidence = evidence_of(started, closed())
    return evidence, states[-1] if states else None


def seed_of(household: str, on: date) -> int:
    """The seed of a household's forecast on a date: the same for everybody who looks, every time."""
    return int.from_bytes(sha256(f"{household} {on}".encode()).digest()[:_SEED_BYTES])
