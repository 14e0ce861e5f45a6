"""Sending what is due: each is claimed before it is sent, so that it is sent once at most.

What was claimed and never told of, because the service ended in between, is not sent again: a message too few
is better than one too many.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.ground.situation import looking
from coach.habits.day import chosen_in
from coach.messages.answers import Letter, Round
from coach.messages.rules.due import LATER, DayStands, due
from coach.messages.rules.hours import LOOK_AGAIN, Hours
from coach.messages.stopping import stop_key, stop_link
from coach.messages.wording import body_of, outcome_text, title_of
from coach.progress.days import preceding
from coach.progress.opening import Phase

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import date, datetime

    from coach.ground.ports import Context
    from coach.ground.sending import Message, Reminder
    from coach.ground.situation import Situation
    from coach.messages.answers import Outcome
    from coach.messages.carriers import Carrier
    from coach.messages.rules.due import Due
    from coach.messages.rules.hours import Window

MOST_AT_ONCE = 200
"""Reminders looked at in one round; those left wait for the next one, a minute later."""

TRY_AGAIN = timedelta(minutes=20)
"""When what was put off is tried again, if whoever carries it does not say when."""

SOONEST = timedelta(minutes=1)
"""No sooner than this, whatever they say."""

KEPT = timedelta(days=60)
"""How long it is known what was sent; in a lapse, for as long as that lasts."""

OPEN_PAGE = "/today"


@dataclass(frozen=True, slots=True)
class Told:
    """What a message says of a household's day.

    Attributes:
        stands: What decides whether one is due.
        lesson: The title of the day's lesson.
        lines: Lines of the list.
    """

    stands: DayStands
    lesson: str | None
    lines: int


def send_due(
    context: Context, carrier: Carrier, now: datetime, go_on: Callable[[], bool] = lambda: True
) -> Round:
    """Send what is due by now to whoever waits for it.

    Nothing is due while another day is tried: its hours have no instants. What goes wrong with one harms no
    other: it is named in the answer, and looked at again later.

    Args:
        context: Store, lessons and clock.
        carrier: Carries the letters.
        now: The instant, aware.
        go_on: Asked before each whether there is still time.
    """
    if context.pretend is not None:
        return Round()
    with context.store.people_reading() as reading:
        waiting = reading.waiting(now, MOST_AT_ONCE)
    results: list[str] = []
    faults: list[Exception] = []
    for reminder in waiting:
        if not go_on():
            break
        try:
            # What carries may be slow, so that the hour of a later one may be over when its turn comes.
            results.append(_look(context, carrier, reminder, max(now, context.clock())))
        except Exception as error:  # noqa: BLE001  told to whoever asked; the others are looked at
            faults.append(error)
            faults += _put_aside(context, reminder, now)
    return Round(
        looked=len(results),
        sent=results.count("sent"),
        later=results.count(LATER),
        refused=results.count("refused"),
        gone=results.count("gone"),
        faults=tuple(faults),
    )


def _put_aside(context: Context, reminder: Reminder, now: datetime) -> list[Exception]:
    """Let the others come first, so that one which cannot be looked at keeps none of them waiting."""
    try:
        _postpone(context, reminder, now + LOOK_AGAIN)
    except Exception as error:  # noqa: BLE001  told with the first one
        return [error]
    return []


def _look(context: Context, carrier: Carrier, reminder: Reminder, now: datetime) -> str:
    """Look at one reminder: the result of what was sent, or nothing."""
    home = context.store.version(reminder.household)
    if home is None or carrier.why_not(reminder.way):
        _postpone(context, reminder, now + LOOK_AGAIN)
        return ""
    hours = Hours(home.zone, home.day_starts, reminder.at)
    window = hours.window(now)
    if window is not None and window.opens < reminder.made_at:
        # An hour that had gone by when it was chosen comes on the next day.
        window = None
    told = _told(context, reminder.household, window.day) if window else None
    one = _due(context, reminder, told, now) if told else None
    if window is None or told is None or one is None:
        _postpone(context, reminder, hours.look_at(now))
        return ""
    if not _claim(context, reminder, one, now, hours.look_at(now)):
        return ""
    outcome = carrier.carry(reminder, _letter(context, reminder, one, told, window), now)
    return _write_down(context, reminder, one, outcome, window, now)


def _told(context: Context, household: str, day: date) -> Told | None:
    """What there is to say of a household's day, read once; nothing before the start."""
    with looking(context, household) as where:
        if where.today != day:
            return None
        chosen = chosen_in(where)
        lines = len(where.standing.checklist)
        return Told(_stands(where), chosen.lesson.title if chosen else None, lines)


def _stands(where: Situation) -> DayStands:
    standing = where.standing
    since = lapsed_since(where) if standing.phase is Phase.LAPSED else None
    return DayStands(
        day=standing.on,
        paused=standing.phase is Phase.PAUSED,
        lapsed_since=since,
        without=(standing.on - since).days + standing.course.lapse_after if since else 0,
        open=sum(step not in standing.marks for step in standing.checklist),
    )


def lapsed_since(where: Situation) -> date:
    """The first day of the lapse in which a day lies."""
    standing = where.standing
    if standing.away:
        first, last = standing.away[-1]
        if last == preceding(standing.on, standing.zone):
            return first
    return standing.on


def _due(context: Context, reminder: Reminder, told: Told, now: datetime) -> Due | None:
    """What is due by what was sent before; in a lapse all of that since it began is asked for."""
    stands = told.stands
    since = now - KEPT
    if stands.lapsed_since is not None:
        since -= timedelta(days=(stands.day - stands.lapsed_since).days)
    with context.store.people_reading() as reading:
        found = reading.messages(reminder.household, reminder.person, since)
    return due(stands, _by_name(found))


def _by_name(found: Sequence[Message]) -> dict[str, str]:
    return {one.name: one.outcome for one in found}


def _claim(context: Context, reminder: Reminder, one: Due, now: datetime, until: datetime) -> bool:
    """Take it on, unless somebody else has, or the reminder was changed or ended since it was read."""
    with context.store.people_writing() as writing:
        if writing.reminder(reminder.id) != reminder:
            return False
        writing.postpone(reminder.id, until)
        if one.kind == "day":
            writing.drop_messages(reminder.household, now - KEPT)
        return writing.claim(reminder.household, reminder.person, one.names, now)


def _letter(context: Context, reminder: Reminder, one: Due, told: Told, window: Window) -> Letter:
    return Letter(
        title=title_of(one.kind, told.lesson),
        body=body_of(one.kind, told.stands.open, told.lines),
        link=OPEN_PAGE,
        until=window.ends,
        stop_link=stop_link(stop_key(context), reminder.id),
    )


def _write_down(
    context: Context, reminder: Reminder, one: Due, outcome: Outcome, window: Window, now: datetime
) -> str:
    again = max(outcome.again_at or now + TRY_AGAIN, now + SOONEST)
    with context.store.people_writing() as writing:
        writing.came_of(reminder.household, reminder.person, one.names, outcome_text(outcome))
        current = writing.reminder(reminder.id)
        if current is not None and current.address == reminder.address:
            if outcome.result == "gone":
                writing.drop_reminder(reminder.household, reminder.person)
            elif outcome.result == LATER:
                writing.postpone(reminder.id, min(again, window.closes))
    return outcome.result


def _postpone(context: Context, reminder: Reminder, until: datetime) -> None:
    """Look at it next then, unless it was changed since it was read."""
    with context.store.people_writing() as writing:
        if writing.reminder(reminder.id) == reminder:
            writing.postpone(reminder.id, until)
