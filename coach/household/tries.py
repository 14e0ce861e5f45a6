"""Wrong codes: how many are taken from where, who has to wait, and what is written down of them."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from coach.errors import TooOften
from coach.ground.people import SignIn
from coach.ground.wording import minutes_words
from coach.household.codes import MOST_SIGN_INS

if TYPE_CHECKING:
    from datetime import datetime

    from coach.ground.people import Caller, CodeKind, PeopleReading, PeopleWriting

FROM_ONE_ADDRESS = 10
"""So many wrong codes from one address, and it has to wait."""

FROM_ALL = 100
"""So many wrong codes from all addresses together, and everybody has to wait: one who takes on many
addresses gains nothing by it, and the counts do not grow without end."""

ADDRESS_SPAN = timedelta(minutes=10)
"""Within this time they are counted, and so long it waits."""

WRITTEN_DOWN = 20
"""So many wrong codes within that time stand one by one in the log of the door, so that a flood of them does
not wash away what happened before."""

_ALL = "pair"


def waiting(reading: PeopleReading, address: str, now: datetime) -> int:
    """For how many seconds an address has to wait; 0: not at all."""
    return max(
        _left(reading, _of(address), FROM_ONE_ADDRESS, now),
        _left(reading, _ALL, FROM_ALL, now),
    )


def too_often(seconds: int) -> TooOften:
    """What is said to one who has to wait."""
    minutes = max(1, -(-seconds // 60))
    return TooOften(
        f"Too many wrong codes were tried. Wait {minutes_words(minutes)}, then try again.", seconds
    )


def count_wrong(writing: PeopleWriting, caller: Caller, kind: CodeKind, now: datetime) -> None:
    """Count a wrong code against its address and against the codes that hold, and write it down."""
    writing.drop_tallies(now - ADDRESS_SPAN)
    count = _one_more(writing, _ALL, now)
    _one_more(writing, _of(caller.address), now)
    writing.wrong(caller.household, kind, now)
    if count <= WRITTEN_DOWN:
        outcome = "wrong code" if count < WRITTEN_DOWN else "wrong code, as were more after it"
        happened = SignIn(now, kind, outcome, address=caller.address)
        writing.add_sign_in(caller.household, happened, MOST_SIGN_INS)


def _one_more(writing: PeopleWriting, key: str, now: datetime) -> int:
    since, count = writing.tally(key) or (now, 0)
    writing.put_tally(key, since, count + 1)
    return count + 1


def _left(reading: PeopleReading, key: str, most: int, now: datetime) -> int:
    counted = reading.tally(key)
    if counted is None or counted[1] < most or now - counted[0] >= ADDRESS_SPAN:
        return 0
    return max(1, int((counted[0] + ADDRESS_SPAN - now).total_seconds()))


def _of(address: str) -> str:
    return f"{_ALL} {address}"
