"""What came of handing something on to another machine."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from typing import Literal

LONGEST_WAIT = 24 * 60 * 60
"""Seconds that another machine may have us wait; by then another day's message is due."""


@dataclass(frozen=True, slots=True)
class Delivery:
    """What came of it.

    Attributes:
        result: `sent`; `gone`: nobody is there any more; `later`: not now; `refused`: not as it is.
        why: What was the matter, in a sentence; empty where it was sent.
        wait: With `later`, after how many seconds to try again; None: that was not said.
    """

    result: Literal["sent", "gone", "later", "refused"]
    why: str = ""
    wait: int | None = None


SENT = Delivery("sent")


def seconds_of(retry_after: str, now: datetime | None = None) -> int | None:
    """How long a `Retry-After` asks to wait (RFC 9110 §10.2.3), bounded; None if it says nothing."""
    if retry_after.isascii() and retry_after.isdigit():
        return min(int(retry_after[:9]), LONGEST_WAIT)
    try:
        until = parsedate_to_datetime(retry_after)
    except ValueError:
        return None
    if until.tzinfo is None:
        until = until.replace(tzinfo=UTC)
    wait = (until - (now or datetime.now(UTC))).total_seconds()
    return int(min(max(wait, 0), LONGEST_WAIT))


def cause_of(error: Exception) -> str:
    """What failed, as the system has it, without what another machine says."""
    said = getattr(error, "verify_message", None) or getattr(error, "strerror", None)
    return (said or str(error) or type(error).__name__).rstrip(".")
