"""Somebody's reminder in a household: asked for, looked at, tried, and ended; nobody else's is ever shown."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.errors import Malformed, NotAllowed, NotEditable, TooOften
from coach.ground.sending import Reminder
from coach.ground.situation import started_home
from coach.household.paired import belongs
from coach.messages.answers import Asked, Letter, Reminders, SentMessage
from coach.messages.rules.hours import Hours
from coach.messages.stopping import reminder_id, stop_key, stop_link
from coach.messages.wording import TRIED_BODY, TRIED_TITLE, outcome_text, outcome_words
from coach.progress.days import FIRST_ZONE, place_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import time
    from zoneinfo import ZoneInfo

    from coach.ground.people import Caller
    from coach.ground.ports import Context, Household
    from coach.ground.sending import Message, Way
    from coach.messages.carriers import Carrier

LATELY = timedelta(days=14)
"""How far back the page says what was sent."""

TEST_GOOD_FOR = timedelta(hours=1)
"""How long a test message is of use."""

BETWEEN_TESTS = 60
"""Seconds between two test messages of one person."""

A_SECOND = timedelta(seconds=1)
"""The hour that is chosen as it comes is still to come."""

TEST = "test/"
"""How the names of test messages begin."""

LAPSE = "lapse/"
JUST_NOW = "One was sent within the last minute. Wait a little before the next."
NO_BROWSER = (
    "This browser has not said where messages reach it. Tap the button on the phone that is to get them."
)
NO_ADDRESS = "Write the e-mail address that the message goes to."
NO_MORE = "You do not belong to this household any more, so nothing was kept."
NONE_YET = "There is no reminder yet. Choose an hour and where it goes first."


@dataclass(frozen=True, slots=True)
class Wish:
    """What somebody asks for.

    Attributes:
        way: To this browser, or by mail.
        at: The hour, by the household's clock.
        address: The browser's push address, or an e-mail address; empty: the one that stands already.
        key: Of a browser: its public key (p256dh, base64url).
        auth: Of a browser: its secret (auth, base64url).
        device: What the device is called.
    """

    way: Way
    at: time
    address: str = ""
    key: str = ""
    auth: str = ""
    device: str = ""


@dataclass(frozen=True, slots=True)
class Ways:
    """What there is to choose, asked before anything is written, since a carrier looks into the store itself.

    Attributes:
        no_push: Why nothing can be sent to a browser; empty where it can.
        no_mail: The same of mail.
        push_key: What a browser needs to subscribe.
    """

    no_push: str
    no_mail: str
    push_key: str

    @classmethod
    def of(cls, carrier: Carrier) -> Ways:
        """What a carrier can do."""
        return cls(carrier.why_not("push"), carrier.why_not("mail"), carrier.public_key())


def reminders(context: Context, carrier: Carrier, caller: Caller) -> Reminders:
    """What somebody asked for, what there is to choose, and what was sent lately."""
    return _told(context, Ways.of(carrier), caller)


def _told(context: Context, ways: Ways, caller: Caller) -> Reminders:
    home, now = context.store.version(caller.household), context.clock()
    zone = place_of(home.zone if home else FIRST_ZONE)
    with context.store.people_reading() as reading:
        found = _theirs(reading.reminders(caller.household), caller)
        sent = reading.messages(caller.household, caller.person, now - LATELY)
    asked = _asked(found, zone) if found else None
    return Reminders(asked, ways.no_push, ways.no_mail, ways.push_key, _sent(sent, zone))


def put(context: Context, carrier: Carrier, caller: Caller, wish: Wish) -> Reminders:
    """Ask for one message a day, in the place of what was asked for before.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: Nothing can be sent that way as the service is set.
        Malformed: The address cannot be used, or none is known.
        NotAllowed: Whoever asks was taken out of the household while the address was looked at.
    """
    home = started_home(context.store.version(caller.household))
    with context.store.people_reading() as reading:
        before = _theirs(reading.reminders(caller.household), caller)
    wish, ways = _complete(wish, before), Ways.of(carrier)
    # Names are looked up for this, so it comes before anything is written.
    _check(carrier, wish)
    key = stop_key(context)
    made = _new(context, home, caller, wish, reminder_id(key, caller.household, caller.person))
    with context.store.people_writing() as writing:
        if not belongs(writing, caller.household, caller.person):
            raise NotAllowed(NO_MORE)
        writing.put_reminder(made)
    return _told(context, ways, caller)


def end(context: Context, carrier: Carrier, caller: Caller) -> Reminders:
    """Ask for none any more; nothing changes if there is none."""
    ways = Ways.of(carrier)
    with context.store.people_writing() as writing:
        writing.drop_reminder(caller.household, caller.person)
    return _told(context, ways, caller)


def send_a_test(context: Context, carrier: Carrier, caller: Caller) -> str:
    """Send one message now, which does not count as the day's, and say what came of it.

    Raises:
        NotEditable: There is none to try, or nothing can be sent that way as the service is set.
        TooOften: One was sent just now.
    """
    now = context.clock()
    with context.store.people_reading() as reading:
        found = _theirs(reading.reminders(caller.household), caller)
    if found is None:
        raise NotEditable(NONE_YET)
    if why := carrier.why_not(found.way):
        raise NotEditable(why)
    names = (f"{TEST}{int(now.timestamp()) // BETWEEN_TESTS}",)
    link = stop_link(stop_key(context), found.id)
    with context.store.people_writing() as writing:
        if not writing.claim(found.household, found.person, names, now):
            raise TooOften(JUST_NOW, BETWEEN_TESTS)
    letter = Letter(TRIED_TITLE, TRIED_BODY, "/reminders", now + TEST_GOOD_FOR, link)
    outcome = carrier.carry(found, letter, now)
    said = outcome_text(outcome)
    with context.store.people_writing() as writing:
        writing.came_of(found.household, found.person, names, said)
    return outcome_words(said)


def _theirs(found: Sequence[Reminder], caller: Caller) -> Reminder | None:
    return next((one for one in found if one.person == caller.person), None)


def _complete(wish: Wish, before: Reminder | None) -> Wish:
    """The wish with the address that stands, where only the hour is another one."""
    if wish.address or before is None or before.way != wish.way:
        return wish
    return Wish(wish.way, wish.at, before.address, before.key, before.auth, wish.device or before.device)


def _check(carrier: Carrier, wish: Wish) -> None:
    if why := carrier.why_not(wish.way):
        raise NotEditable(why)
    if not wish.address:
        raise Malformed(NO_BROWSER if wish.way == "push" else NO_ADDRESS)
    if why := carrier.fault_of(wish.way, wish.address, wish.key, wish.auth):
        raise Malformed(why)


def _new(context: Context, home: Household, caller: Caller, wish: Wish, key: str) -> Reminder:
    now = context.clock()
    return Reminder(
        id=key,
        household=caller.household,
        person=caller.person,
        way=wish.way,
        address=wish.address,
        key=wish.key,
        auth=wish.auth,
        device=wish.device,
        at=wish.at,
        next_at=Hours(home.zone, home.day_starts, wish.at).look_at(now - A_SECOND),
        made_at=now,
    )


def _asked(found: Reminder, zone: ZoneInfo) -> Asked:
    to = found.address if found.way == "mail" else found.device
    return Asked(found.way, f"{found.at:%H:%M}", to, found.next_at.astimezone(zone))


def _sent(found: Sequence[Message], zone: ZoneInfo) -> tuple[SentMessage, ...]:
    """What was sent, the latest first: one for each time, though in a lapse it has two names."""
    in_lapse = {one.at for one in found if one.name.startswith(LAPSE)}
    return tuple(
        SentMessage(
            one.at.astimezone(zone),
            "test" if one.name.startswith(TEST) else "lapse" if one.at in in_lapse else "day",
            outcome_words(one.outcome),
        )
        for one in reversed(found)
        if not one.name.startswith(LAPSE)
    )
