"""Recovery sheets: ten codes on paper for whoever has nothing else left to come in with."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.errors import NotAllowed, WrongCode
from coach.household.admitting import Proven, admit, admitted_before
from coach.household.codes import ALPHABET, GROUP, code_hash, grouped, typed
from coach.household.confirming import refuse_unless_confirmed
from coach.household.devices import secret_of
from coach.household.passkeys import tell
from coach.household.tries import count_refused, too_often, waiting
from coach.household.ways_in_answers import NewSheet

if TYPE_CHECKING:
    from datetime import datetime

    from coach.ground.people import Caller, Kind, PeopleReading, PeopleWriting
    from coach.ground.ports import Context
    from coach.household.answers import Paired
    from coach.household.tries import WayIn

WAY: WayIn = "recovery"
CODES = 10
"""Codes of a sheet."""

LETTERS = 20
"""Letters of a code, in groups of four: the first group names the sheet, the other sixteen are 69 bits."""

WRONG_OF_SHEET = 5
"""So many wrong codes that begin as a sheet's do, and the sheet lets nobody in for a while. It does not end:
it is somebody's last way in, and others could end it so."""

SHEET_SPAN = timedelta(minutes=10)
"""Within this time they are counted, and so long the sheet waits."""

WRONG = (
    "This code does not fit: it is wrong, used already, or of a sheet that was made anew. Try another code "
    "of the sheet."
)
ONLY_KEEPERS = "A recovery sheet is for a keeper of the household or a coach. A keeper lets you in by a code."


@dataclass(frozen=True, slots=True)
class Recovering:
    """What somebody brings who comes in by a recovery code.

    Attributes:
        code: As it was typed.
        device: What the device is to be called.
        kind: A browser, or a program that wants a token.
        once: Names the request, so that it lets in once and is answered the same when it is sent again.
        asked: What is asked under that name; none: whatever is asked under it is answered.
    """

    code: str
    device: str = ""
    kind: Kind = "browser"
    once: str = ""
    asked: str = ""


def new_sheet(context: Context, caller: Caller) -> NewSheet:
    """Make a sheet in the place of the one before; its codes are in the answer and nowhere else.

    Raises:
        NotEditable: Nobody in particular asks.
        NotAllowed: A program asks, or somebody who is neither keeper nor coach.
        ConfirmFirst: They were let in too long ago.
    """
    now = context.clock()
    refuse_others(caller)
    refuse_unless_confirmed(caller, now)
    sheet = _letters(GROUP)
    codes = tuple(sheet + _letters(LETTERS - GROUP) for _ in range(CODES))
    # Each takes some hundredths of a second, so this is done before anybody has to wait for it.
    kept = [code_hash(one) for one in codes]
    with context.store.people_writing() as writing:
        writing.put_sheet(caller.person, sheet, kept, now)
        tell(context, writing, caller, "sheet made", "", WAY)
    return NewSheet(tuple(grouped(one) for one in codes), now)


def refuse_others(caller: Caller) -> None:
    """Hold back whoever is neither keeper nor coach.

    Raises:
        NotAllowed: They are not.
    """
    if not (caller.is_keeper or caller.coaches):
        raise NotAllowed(ONLY_KEEPERS)


def end_sheet(context: Context, caller: Caller) -> None:
    """Let no code of somebody's sheet in any more.

    Raises:
        NotEditable: Nobody in particular asks.
        NotAllowed: A program asks.
        ConfirmFirst: They were let in too long ago.
    """
    refuse_unless_confirmed(caller, context.clock())
    with context.store.people_writing() as writing:
        if writing.sheet(caller.person) is not None:
            writing.drop_sheet(caller.person)
            tell(context, writing, caller, "sheet ended", "", WAY)


def _letters(number: int) -> str:
    return "".join(secrets.choice(ALPHABET) for _ in range(number))


def recover(context: Context, caller: Caller, wanted: Recovering) -> Paired:
    """Let somebody in by a code of their sheet, which is used up by it.

    Raises:
        WrongCode: The code is wrong, used, or of a sheet that is no more.
        TooOften: Too many wrong codes were tried.
        NotAllowed: As many devices are let in as there can be.
        Malformed: The device's name is too long.
        AskedOtherwise: The code has let in another request of that name.
    """
    now, letters = context.clock(), typed(wanted.code)
    secret = secret_of(letters, wanted.once)
    again = admitted_before(context, secret[0], wanted.once, wanted.asked, now)
    if again is not None:
        return again
    kept = _kept(context, caller, letters, now)
    with context.store.people_writing() as writing:
        if seconds := _waiting(writing, caller, letters, now):
            raise too_often(seconds)
        paired = _let_in(writing, caller, wanted, kept, secret, now)
        if paired is not None:
            return paired
        count_refused(writing, caller, WAY, now)
        _count_of_sheet(writing, letters, now)
    raise WrongCode(WRONG)


def _kept(context: Context, caller: Caller, letters: str, now: datetime) -> str:
    """The hash under which a code would be kept; it is slow, so none is made for a sheet that there is not.

    Raises:
        TooOften: Too many wrong codes were tried.
    """
    with context.store.people_reading() as reading:
        if seconds := _waiting(reading, caller, letters, now):
            raise too_often(seconds)
        is_named = len(letters) == LETTERS and reading.is_sheet(letters[:GROUP])
    return code_hash(letters) if is_named else ""


def _let_in(
    writing: PeopleWriting,
    caller: Caller,
    wanted: Recovering,
    kept: str,
    secret: tuple[str, str],
    now: datetime,
) -> Paired | None:
    person = writing.recovering(kept) if kept else None
    if person is None:
        return None
    writing.drop_recovery(kept)
    left = writing.sheet(person)
    outcome = "let in" if left else "let in by the last code"
    asked = wanted.asked if wanted.once else ""
    proven = Proven(person, WAY, outcome, wanted.device, wanted.kind, asked)
    return admit(writing, caller, proven, secret, now)


def _waiting(reading: PeopleReading, caller: Caller, letters: str, now: datetime) -> int:
    """For how many seconds an address or a sheet has to wait; 0: not at all."""
    counted = reading.tally(_of(letters))
    by_address = waiting(reading, caller.address, now)
    if counted is None or counted[1] < WRONG_OF_SHEET or now - counted[0] >= SHEET_SPAN:
        return by_address
    return max(by_address, 1, int((counted[0] + SHEET_SPAN - now).total_seconds()))


def _count_of_sheet(writing: PeopleWriting, letters: str, now: datetime) -> None:
    if len(letters) == LETTERS and writing.is_sheet(letters[:GROUP]):
        since, count = writing.tally(_of(letters)) or (now, 0)
        if now - since >= SHEET_SPAN:
            since, count = now, 0
        writing.put_tally(_of(letters), since, count + 1)


def _of(letters: str) -> str:
    return f"sheet {letters[:GROUP]}"
