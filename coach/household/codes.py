"""Codes that let somebody in: their letters, the slow hash they are kept by, and how long they hold."""

from __future__ import annotations

import secrets
import unicodedata
from dataclasses import replace
from datetime import timedelta
from hashlib import scrypt
from typing import TYPE_CHECKING

from coach.errors import Malformed, NotAllowed
from coach.ground.people import Code, SignIn
from coach.household.answers import PairingCode

if TYPE_CHECKING:
    from datetime import datetime

    from coach.ground.people import Caller, CodeKind
    from coach.ground.ports import Context

ALPHABET = "BCDFGHJKLMNPQRSTVWXZ"
"""Twenty letters that make no words and are not mistaken for figures (RFC 8628 §6.1)."""

LETTERS = 8
"""Letters of a pairing code: 34 bits, for ten minutes and five wrong tries."""

INVITATION_LETTERS = 16
"""Letters of an invitation: 69 bits, since it holds for days. They are written in groups of four."""

MINUTES = 10
"""How long a pairing code holds."""

DAYS = 14
"""How long an invitation holds."""

NAMING = 4
"""Letters at the beginning of a code that name it where many households are hosted, before those that are
secret: 8 of a pairing code, 12 of an invitation. Wrong ones behind them count against that code alone."""

WRONG_TRIES = 5
"""So many wrong codes end every code of a kind, or hosted the one that they name (RFC 8628 §5.1: a chance of
2⁻³² at most with 8 letters)."""

WRONG_TRIES_OF_MANY = 2500
"""The same for an invitation that is printed for many households, five for each that it may let in: a chance
of 2⁻⁴⁰ with its 12 secret letters."""

MOST_CODES = 10
"""Codes of a kind into a household that hold at the same time; one more ends the oldest."""

MOST_SIGN_INS = 500
"""What is remembered of what happened at the door."""

NOT_HERE = (
    "Invitations are for a member of this household. Those for another household or for a group are made "
    "where Steading is hosted for many."
)
FOR_A_GROUP = "An invitation for a household belongs to a group, and its coach makes it: name the group."
ONE_USE = "An invitation for a member is used once. Make another one for the next member."
GROUP = 4
"""Letters that stand together where a code is read or typed."""


def new_code(context: Context, caller: Caller, *, for_me: bool = False) -> PairingCode:
    """Make a pairing code.

    Args:
        context: Store and clock.
        caller: Who makes it.
        for_me: Whether it is for another device of theirs, and for nobody else.
    """
    person = caller.person if for_me else ""
    return _made(context, caller, "pairing", person)


def new_invitation(
    context: Context, caller: Caller, what: str = "member", uses: int = 1, group: str = ""
) -> PairingCode:
    """Make an invitation for somebody who is to belong to the household; it is used once.

    Raises:
        NotAllowed: A member who is no keeper asks.
        Malformed: It is for another household or a group, or is to be used more than once.
    """
    if context.is_hosted and what == "household":
        raise Malformed(FOR_A_GROUP)
    if not caller.is_keeper:
        raise NotAllowed("Only a keeper of the household invites somebody.")
    if what != "member" or group:
        raise Malformed(FOR_A_GROUP if context.is_hosted else NOT_HERE)
    if uses != 1:
        raise Malformed(ONE_USE)
    return _made(context, caller, "invitation", "")


def end_codes(context: Context, caller: Caller) -> None:
    """End every code and invitation that holds."""
    now = context.clock()
    with context.store.people_writing() as writing:
        if writing.codes(caller.household):
            writing.drop_codes(caller.household)
            ended = SignIn(now, "code", "all codes ended", caller.person, "", caller.address)
            writing.add_sign_in(caller.household, ended, MOST_SIGN_INS)


def _made(context: Context, caller: Caller, kind: CodeKind, person: str) -> PairingCode:
    now = context.clock()
    made = Code(caller.household, kind, person, caller.person, 1, 0, now, now + _LASTS[kind])
    return kept_code(context, made, caller.address)


def kept_code(context: Context, made: Code, address: str) -> PairingCode:
    """Keep a code under letters that nobody can guess, and tell them this once.

    Args:
        context: Store and clock.
        made: What the code does.
        address: Where it was asked for.
    """
    while True:
        code = "".join(secrets.choice(ALPHABET) for _ in range(_length(made.kind, context)))
        begins = code[:NAMING] if context.is_hosted else ""
        kept, now = code_hash(code), made.made_at
        with context.store.people_writing() as writing:
            writing.drop_codes_over(now)
            if writing.code_named(begins) is not None:
                continue
            writing.put_code(kept, replace(made, begins=begins))
            writing.keep_codes(made.household, made.kind, MOST_CODES, made.group)
            happened = SignIn(now, made.kind, "code made", made.made_by, "", address)
            writing.add_sign_in(made.household, happened, MOST_SIGN_INS)
        break
    shown = grouped(code) if len(code) > LETTERS else code
    page = "/enrol" if made.kind == "household" else "/pair"
    return PairingCode(shown, f"{page}#{shown}", made.ends_at)


def _length(kind: CodeKind, context: Context) -> int:
    if kind != "pairing":
        return INVITATION_LETTERS
    return LETTERS + NAMING if context.is_hosted else LETTERS


_LASTS: dict[CodeKind, timedelta] = {
    "pairing": timedelta(minutes=MINUTES),
    "invitation": timedelta(days=DAYS),
}


def grouped(code: str) -> str:
    """The letters in groups of four."""
    return "-".join(code[start : start + GROUP] for start in range(0, len(code), GROUP))


def code_hash(code: str) -> str:
    """A slow hash of a code, so that whoever reads the database cannot try all codes there are.

    It takes 16 MB and some hundredths of a second. Its salt is fixed, since the hash is what a code is found
    by; a code holds too short a time for tables made in advance to be of use.
    """
    return scrypt(code.encode(), salt=b"steading code", n=2**14, r=8, p=1).hex()


def typed(code: str) -> str:
    """A code as it was made: capital letters of one width, without what is typed between or before them."""
    letters = unicodedata.normalize("NFKC", code.rpartition("#")[2][: 4 * INVITATION_LETTERS]).upper()
    return "".join(letter for letter in letters if letter.isascii() and letter.isalnum())


def kind_of(letters: str) -> CodeKind:
    """Which kind of code somebody tried, by how long it is."""
    return "pairing" if len(letters) <= (LETTERS + INVITATION_LETTERS) // 2 else "invitation"


def named_by(context: Context, letters: str) -> str | None:
    """The letters of a code that name it, where many households are hosted; none at home."""
    return letters[:NAMING] if context.is_hosted else None


def holds(code: Code, now: datetime) -> bool:
    """Whether a code still lets somebody in."""
    most = WRONG_TRIES_OF_MANY if code.group else WRONG_TRIES
    return code.uses > 0 and now < code.ends_at and code.wrong < most
