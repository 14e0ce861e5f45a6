"""Checks of the machine itself: its clock, the certificates, and who may look into the folders."""

from __future__ import annotations

import shlex
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from coach.errors import NotReady
from coach.machine import authority, clock, leaf
from coach.machine.findings import Told, told_error
from coach.machine.key_files import is_open_to_others

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from coach.machine.addresses import Address
    from coach.machine.authority import Authority

AHEAD = timedelta(minutes=5)
"""How far in the future something may seem to have been written, as network drives have it."""

SOON = timedelta(days=90)
"""How early it is said that the authority ends, since every phone has to be told."""

_CLOCK, _CERTIFICATE, _FOLDERS = "clock", "certificate", "folders"


def time_of_day(now: datetime, past: Mapping[str, datetime | None]) -> Iterator[Told]:
    """Whether the clock can be right.

    Args:
        now: What it says.
        past: What has been for certain, by what it is called: `the newest row was written`.
    """
    if fault := clock.fault_of(now):
        yield Told(_CLOCK, fault, clock.SET_IT)
        return
    later = {what: when for what, when in past.items() if when is not None and when > now + AHEAD}
    for what, when in later.items():
        text = f"The clock says {now:%Y-%m-%d %H:%M} UTC, and {what} at {when:%Y-%m-%d %H:%M}."
        yield Told(_CLOCK, text, clock.SET_IT)
    if not later:
        yield Told(_CLOCK, f"The clock says {now:%Y-%m-%d %H:%M} UTC, and nothing speaks against it.")


def certificate(folder: Path, found: Sequence[Address], now: datetime) -> Iterator[Told]:
    """Whether the household's certificates can be used, and until when."""
    try:
        kept = authority.read(folder)
    except NotReady as error:
        yield told_error(_CERTIFICATE, error)
        return
    if kept is None:
        yield Told(_CERTIFICATE, "There is no household authority; `coach serve --home --tls` makes one.")
        return
    yield _of_authority(kept, now)
    yield _of_leaf(kept, found, now)


def _of_authority(kept: Authority, now: datetime) -> Told:
    if now < kept.since:
        return Told(
            _CERTIFICATE,
            f"{kept.name} is good from {kept.since:%Y-%m-%d %H:%M} UTC on, which is still to come.",
            f"{clock.SET_IT} If the clock is right, move {kept.folder} away; the next start makes another.",
        )
    if kept.until - now < SOON:
        ends = "was good until" if kept.until < now else "is good only until"
        return Told(
            _CERTIFICATE,
            f"{kept.name} {ends} {kept.until:%Y-%m-%d}.",
            f"Move {kept.folder} away; the next start makes another, which each phone has to trust.",
        )
    return Told(_CERTIFICATE, f"{kept.name} is good until {kept.until:%Y-%m-%d}.")


def _of_leaf(kept: Authority, found: Sequence[Address], now: datetime) -> Told:
    anew = "Start Steading with --tls: it makes another by itself, and no phone has to be asked."
    try:
        shown = leaf.read(kept.folder)
    except NotReady as error:
        return Told(_CERTIFICATE, told_error(_CERTIFICATE, error).text, anew)
    if shown is None:
        return Told(_CERTIFICATE, "The service has no certificate yet; its start makes it.")
    if reason := leaf.why_renew(shown, kept, leaf.wanted_addresses(found), now):
        return Told(_CERTIFICATE, f"The service's certificate has to be made anew: {reason}.", anew)
    return Told(_CERTIFICATE, f"The service's certificate is good until {shown.until:%Y-%m-%d}.")


def folders(private: Iterable[Path]) -> Iterator[Told]:
    """Whether folders and files that are for their owner alone are so; one that is not there is left out."""
    there = [one for one in private if one.exists()]
    wide = [one for one in there if is_open_to_others(one)]
    for one in wide:
        close = shlex.join(["chmod", "700" if one.is_dir() else "600", str(one)])
        yield Told(_FOLDERS, f"Other users of this machine may look into {one}.", f"Close it: {close}")
    if there and not wide:
        yield Told(_FOLDERS, "What belongs to the household is for its owner alone.")
