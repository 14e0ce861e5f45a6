"""Bytes in letters that may stand anywhere (RFC 4648 §5), as the standards of push write them."""

from __future__ import annotations

import binascii
from base64 import b64decode, urlsafe_b64encode

from coach.errors import Malformed


def written(raw: bytes) -> str:
    """The letters for bytes."""
    return urlsafe_b64encode(raw).rstrip(b"=").decode()


def read(text: str, what: str) -> bytes:
    """The bytes of letters; padding may stand there or not.

    Args:
        text: The letters.
        what: What they are, for the sentence that says they are none.

    Raises:
        Malformed: They are not base64url.
    """
    bare = text.rstrip("=")
    try:
        return b64decode(bare + "=" * (-len(bare) % 4), altchars=b"-_", validate=True)
    except (binascii.Error, ValueError):
        raise Malformed(f"{what} is not written in base64url.") from None
