"""Saving what a coach may see of a household as its days close, so that a group's tables replay no logs.

It is done by rounds of the service and never while a page is made. What is saved is a cache: the log is the
truth, and consent is looked at again whenever it is read.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from coach.coaching.rules.following import Saved, saved_through
from coach.coaching.rules.resuming import SETTLED_BY, saved_from
from coach.ground.groups import NOTHING
from coach.ground.past import past_before
from coach.ground.situation import today_of
from coach.ground.versions import versions_of
from coach.progress.days import ONE_DAY, following, instant_of, preceding

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from coach.ground.groups import Enrolment
    from coach.ground.ports import Context, Household, Reading
    from coach.ground.spells import Followed

MOST_AT_ONCE = 100
"""Households followed in one round; those left wait for the next one, a minute later."""

CLOSED_BY = timedelta(hours=3)
"""So long after midnight, UTC, the date before is looked for; zones behind wait for their own morning."""

SETTLED = timedelta(days=SETTLED_BY)

LOOK_AGAIN = timedelta(hours=1)
"""When a household is looked at again that could not be followed."""


def follow(context: Context, household: str) -> datetime | None:
    """Save a household's days through the last one that has closed, or forget what may not be seen any more.

    Nothing happens to one that is followed so far already. What was written meanwhile waits for next time.

    Args:
        context: Store, lessons and clock.
        household: Its key.

    Returns:
        When its next day closes, aware; None where nothing is saved of it.

    Raises:
        StoreError: Nothing is left to fold its days from.
        Malformed: A row of its log cannot be used.
    """
    with context.store.reading(household) as reading:
        home, enrolment, kept = reading.household(), reading.enrolment(), reading.followed()
        may_be = home is not None and enrolment is not None and _may_be_seen(context, home, enrolment)
        if home is None or enrolment is None or not may_be:
            found, is_new = None, kept is not None
        else:
            last = preceding(today_of(context, home), home.zone)
            is_new = kept is None or kept.through != last
            found = _saved(context, home, reading, last, kept) if is_new else None
    if is_new:
        _keep(context, household, found, (home, enrolment))
    return _next_close(context, home) if home is not None and may_be else None


def _may_be_seen(context: Context, home: Household, enrolment: Enrolment) -> bool:
    return enrolment.seen_on(today_of(context, home)) != NOTHING


def _saved(
    context: Context, home: Household, reading: Reading, last: date, kept: Followed | None
) -> Saved | None:
    """What there is to save through a day; None before the first has closed.

    It is folded on from a standing that nothing could change since days were saved last, or from the start.
    """
    versions = versions_of(context, home, reading, today_of(context, home))
    if kept is not None and kept.started_on < kept.through - SETTLED:
        past = past_before(context, home, reading, versions, kept.through - SETTLED + ONE_DAY)
        before = Saved(kept, tuple(reading.saved_spells()))
        if past.state is not None and (found := saved_from(past.resumed(), before, past.book, last)):
            return found
    past = past_before(context, home, reading, versions, date.min)
    return saved_through(past.book, last)


def _keep(
    context: Context, household: str, found: Saved | None, read: tuple[Household | None, Enrolment | None]
) -> None:
    """Keep what was found, unless the household or its consent are others by now; nothing: forget it."""
    with context.store.writing(household) as writing:
        if (writing.household(), writing.enrolment()) != read:
            return
        if found is None:
            writing.drop_followed()
        else:
            writing.save_followed(found.followed, found.spells)


def _next_close(context: Context, home: Household) -> datetime:
    tomorrow = following(today_of(context, home), home.zone)
    return instant_of(tomorrow, home.zone, home.day_starts)


@dataclass(slots=True)
class Following:
    """What one process knows of the households it follows.

    Attributes:
        waits: For each of them when its next day closes, or when it is looked at again.
    """

    waits: dict[str, datetime] = field(default_factory=dict)

    def round(
        self, context: Context, now: datetime, go_on: Callable[[], bool] = lambda: True
    ) -> Sequence[Exception]:
        """Follow some of those whose days have closed, and of those that may be seen and are behind.

        Several processes may do so at once: each looks whether another was first, and the same days give the
        same rows.

        Args:
            context: Store, lessons and clock.
            now: The instant, aware.
            go_on: Asked before each whether there is still time.

        Returns:
            What went wrong; it harms no other household.
        """
        faults: list[Exception] = []
        closed = sorted((until, household) for household, until in self.waits.items() if until <= now)
        known = [household for _, household in closed][:MOST_AT_ONCE]
        for household in [*known, *self._behind(context, now)][:MOST_AT_ONCE]:
            if not go_on():
                break
            try:
                self._follow(context, household, now)
            except Exception as error:  # noqa: BLE001  told to whoever asked; the others are followed
                faults.append(error)
                self.waits[household] = now + LOOK_AGAIN
        return faults

    def _follow(self, context: Context, household: str, now: datetime) -> None:
        """Follow one, and know until when to leave it alone; one that has been let go of is known no more."""
        was_known = self.waits.pop(household, None) is not None
        until = follow(context, household)
        if until is not None or not was_known:
            self.waits[household] = until or now + LOOK_AGAIN

    def _behind(self, context: Context, now: datetime) -> Sequence[str]:
        """Those that may be seen no more, then those that are behind and not known to this process yet."""
        through = (context.pretend or (now - CLOSED_BY).date()) - ONE_DAY
        with context.store.counting() as counting:
            found = counting.behind(through, MOST_AT_ONCE + len(self.waits))
            # Their consent ran out by its date, and no process that knew of them was there.
            over = counting.lingering(through, MOST_AT_ONCE)
        return [*over, *(household for household in found if household not in self.waits)]
