"""Wrong codes: how many are taken from where, who has to wait, and what is written down of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from ipaddress import ip_address, ip_network
from typing import TYPE_CHECKING, Literal

from coach.errors import TooOften
from coach.ground.people import SignIn
from coach.ground.wording import minutes_words
from coach.household.codes import MOST_SIGN_INS

if TYPE_CHECKING:
    from datetime import datetime

    from coach.ground.people import Caller, CodeKind, PeopleReading, PeopleWriting

WayIn = Literal["passkey", "recovery"]
"""How somebody signs in for themselves, whatever codes hold."""

FROM_ONE_ADDRESS = 10
"""So many wrong codes from one address, and it has to wait."""

FROM_ALL = 100
"""At home, so many wrong codes from all addresses together, and everybody has to wait: one who takes on many
addresses gains nothing by it. Where many households are hosted nobody waits for what others do: each code
ends by itself, wherever the wrong ones come from."""

SWEPT = 64
"""After so many wrong codes counts that are over are let go of, where many households are hosted."""

ONE_LINE = 64
"""Bits of an IPv6 address that one line has to itself (RFC 6177): whoever has one has all that begin so."""

ADDRESS_SPAN = timedelta(minutes=10)
"""Within this time they are counted, and so long it waits."""

WRITTEN_DOWN = 20
"""So many wrong codes within that time stand one by one in the log of the door, so that a flood of them does
not wash away what happened before."""

ASKED = 60
"""So often a device may be asked for a passkey from one address within that time: each is written down."""

_ALL = "pair"
_OF_MANY = "pair many"


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


def count_asked(writing: PeopleWriting, address: str, now: datetime) -> None:
    """Count that a device is asked for a passkey.

    Raises:
        TooOften: That was done too often from there.
    """
    writing.drop_tallies(now - ADDRESS_SPAN)
    key = f"ask {_of(address)}"
    if seconds := _left(writing, key, ASKED, now):
        minutes = minutes_words(max(1, -(-seconds // 60)))
        raise TooOften(f"A passkey was asked for too often. Wait {minutes}, then try again.", seconds)
    _one_more(writing, key, now)


def count_refused(writing: PeopleWriting, caller: Caller, way: WayIn, now: datetime) -> None:
    """Count against its address what a passkey or a recovery code could not prove, and write it down.

    Nobody else has to wait for that: what would be guessed is too long for many addresses to be of use.
    """
    _one_more(writing, _of(caller.address), now)
    tried = SignIn(now, way, "", address=caller.address)
    _write_down(writing, tried, caller.household, _counted_of_many(writing, now))


def count_wrong(
    writing: PeopleWriting, caller: Caller, kind: CodeKind, now: datetime, begins: str | None = None
) -> None:
    """Count a wrong code against its address and against the codes it may be, and write it down.

    Args:
        writing: Where the counts are.
        caller: Who tried.
        kind: What was tried.
        now: The present.
        begins: Hosted: the letters that name a code, which alone is counted against; none: those of a kind
            into the household.
    """
    if begins is None:
        writing.drop_tallies(now - ADDRESS_SPAN)
        count, household = _one_more(writing, _ALL, now), caller.household
        writing.wrong(household, kind, now)
    else:
        count, meant = _counted_of_many(writing, now), writing.code_named(begins)
        writing.wrong_named(begins, now)
        household = meant.household if meant else ""
    _one_more(writing, _of(caller.address), now)
    _write_down(writing, SignIn(now, kind, "", address=caller.address), household, count)


def _write_down(writing: PeopleWriting, tried: SignIn, household: str, count: int) -> None:
    """Write down what was tried, but of a flood only how it began."""
    if count <= WRITTEN_DOWN:
        outcome = "wrong code" if count < WRITTEN_DOWN else "wrong code, as were more after it"
        writing.add_sign_in(household, replace(tried, outcome=outcome), MOST_SIGN_INS)


def _counted_of_many(writing: PeopleWriting, now: datetime) -> int:
    """How many wrong codes there were lately, this one with them; nobody has to wait for that."""
    count = _one_more(writing, _OF_MANY, now)
    if count % SWEPT == 1:
        writing.drop_tallies(now - ADDRESS_SPAN)
    return count


def _one_more(writing: PeopleWriting, key: str, now: datetime) -> int:
    """Count once more, from the beginning where the span before is over."""
    since, count = writing.tally(key) or (now, 0)
    if now - since >= ADDRESS_SPAN:
        since, count = now, 0
    writing.put_tally(key, since, count + 1)
    return count + 1


def _left(reading: PeopleReading, key: str, most: int, now: datetime) -> int:
    counted = reading.tally(key)
    if counted is None or counted[1] < most or now - counted[0] >= ADDRESS_SPAN:
        return 0
    return max(1, int((counted[0] + ADDRESS_SPAN - now).total_seconds()))


def _of(address: str) -> str:
    """What is counted for an address; in the internet all of one line's are one."""
    try:
        ip = ip_address(address)
    except ValueError:
        return f"{_ALL} {address}"
    if ip.version == 4 or not ip.is_global:  # noqa: PLR2004  IPv4
        return f"{_ALL} {address}"
    return f"{_ALL} {ip_network((ip, ONE_LINE), strict=False)}"
