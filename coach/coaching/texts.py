"""Plain texts that people write to each other: what is kept of them, and the sentences that refuse one."""

from __future__ import annotations

import secrets
import unicodedata
from hashlib import sha256
from typing import TYPE_CHECKING

from coach.errors import Malformed

if TYPE_CHECKING:
    from coach.ground.ports import Context

LONGEST_TEXT = 1000
"""Characters of a question, of an answer and of a note."""

ID_BYTES = 9
"""Bytes of chance in the id of a group, a question or an answer."""

_UNSEEN = {"Cc", "Cs", "Co", "Cn"}
_KEPT = "\n\t"
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""What turns the direction of all that comes after it; the marks for one place stay."""


def tidy_text(text: str, what: str, most: int = LONGEST_TEXT) -> str:
    """A plain text, composed, with line breaks of one kind and without what cannot be seen.

    Args:
        text: As it was typed.
        what: What it is, as the sentence that refuses it begins: "A question".
        most: How many characters it may have.

    Raises:
        Malformed: Nothing is left, or it is too long.
    """
    lines = unicodedata.normalize("NFC", text).replace("\r\n", "\n").replace("\r", "\n")
    kept = (one for one in lines if one in _KEPT or unicodedata.category(one) not in _UNSEEN)
    found = "".join(one for one in kept if one not in _TURNING).strip()
    if not found:
        raise Malformed(f"{what} says something. Write it, then send it again.")
    if len(found) > most:
        raise Malformed(f"{what} has at most {most} characters. This one has {len(found)}.")
    return found


def new_id(context: Context, whose: str) -> str:
    """An id for what a request makes; the same for the same request, so that sent again it makes nothing.

    Args:
        context: Which request it is.
        whose: Who asks, since two may call their requests the same.
    """
    if context.request_id is None:
        return secrets.token_urlsafe(ID_BYTES)
    return sha256(f"{whose}\n{context.request_id}".encode()).hexdigest()[: 2 * ID_BYTES]
