"""What the room of messages hands on: the letter that goes out, and what came of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from datetime import datetime

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
    until: datetime
    stop_link: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of carrying a letter.

    Attributes:
        result: `sent`; `gone`: nobody is reached there any more, so the reminder ends; `later`: not now, but
            that passes; `refused`: it will not go as it is, and `why` says what to mend.
        why: A sentence for whoever looks after the service; empty where it was sent.
        again_at: With `later`, when it may be tried again, aware; None: whoever asks may choose.
    """

    result: Result
    why: str = ""
    again_at: datetime | None = None
