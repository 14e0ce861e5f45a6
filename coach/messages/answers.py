"""What the room of messages hands on: the letter that goes out, what came of it, and what people are told."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.ground.sending import Way

Result = Literal["sent", "gone", "later", "refused"]


@dataclass(frozen=True, slots=True)
class Letter:
    """One message as it goes out, whichever way it goes.

    Attributes:
        title: One line: the title of today's lesson.
        body: The words below it: how many lines there are.
        link: The path to open: `/today`. Whoever carries it puts the service's address before it.
        until: When it is of no use any more, aware; nothing is delivered after that.
        stop_link: The path that ends these messages in one tap, without signing in: `/stop/TOKEN`.
    """

    title: str
    body: str
    link: str
    until: dt.datetime
    stop_link: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of carrying a letter.

    Attributes:
        result: `sent`; `gone`: nobody is reached there any more, so the reminder ends; `later`: not now, but
            that passes, and it is sure that it was not delivered; `refused`: it will not go as it is, and
            `why` says what to mend.
        why: A sentence for whoever looks after the service; empty where it was sent.
        again_at: With `later`, when it may be tried again, aware; None: whoever asks may choose.
    """

    result: Result
    why: str = ""
    again_at: dt.datetime | None = None


@dataclass(frozen=True, slots=True)
class Asked:
    """The reminder that somebody has.

    Attributes:
        way: To a browser, or by mail.
        at: The hour chosen, by the household's clock, HH:MM.
        to: Where it goes: an e-mail address, or what the device is called.
        next_at: When the next message may come, if there is something to say then.
    """

    way: Way
    at: str
    to: str
    next_at: dt.datetime


@dataclass(frozen=True, slots=True)
class SentMessage:
    """A message that somebody was sent, or that was tried.

    Attributes:
        at: When.
        what: `day`, `lapse` or `test`.
        outcome: What came of it, in words.
    """

    at: dt.datetime
    what: Literal["day", "lapse", "test"]
    outcome: str


@dataclass(frozen=True, slots=True)
class Reminders:
    """What somebody is told of their messages.

    Attributes:
        reminder: What they asked for; none: nothing.
        no_push: Why nothing can be sent to a browser as the service is set; empty where it can.
        no_mail: The same of mail.
        push_key: What a browser needs to subscribe; empty where nothing can be sent to it.
        sent: What was sent lately, the latest first.
    """

    reminder: Asked | None
    no_push: str
    no_mail: str
    push_key: str
    sent: tuple[SentMessage, ...]


@dataclass(frozen=True, slots=True)
class Round:
    """What came of looking once at everything that waits.

    Attributes:
        looked: Reminders looked at.
        sent: Messages sent.
        later: Those put off by whoever carries them.
        refused: Those that will not go as they are.
        gone: Reminders that ended since nobody is reached there any more.
        faults: What went wrong, without names or addresses.
    """

    looked: int = 0
    sent: int = 0
    later: int = 0
    refused: int = 0
    gone: int = 0
    faults: tuple[Exception, ...] = ()
