"""Answers that hold a secret, sealed with a key that only this process has.

So a request can be sent again while the service runs, and whoever reads the database learns nothing.
"""

from __future__ import annotations

import secrets
from base64 import b64decode, b64encode
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from coach.errors import SaidOnce

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    from coach.ground.answered import Answered


@cache
def _seal() -> AESGCM:
    """Known to this process alone; its library is loaded when the first secret is to be kept."""
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM  # noqa: PLC0415  as said

    return AESGCM(AESGCM.generate_key(256))


NONCE_BYTES = 12
"""What NIST SP 800-38D §5.2.1.1 recommends for AES-GCM; each is random."""

GONE = (
    "This was done already. Its answer held a secret, which is not said any more since Steading was started "
    "anew. Ask again with another request_id."
)


def sealed(answered: Answered) -> Answered:
    """An answer as it is kept; it is opened only for what was asked."""
    nonce = secrets.token_bytes(NONCE_BYTES)
    hidden = _seal().encrypt(nonce, answered.body.encode(), answered.asked.encode())
    return replace(answered, body=b64encode(nonce + hidden).decode())


def opened(answered: Answered) -> Answered:
    """An answer as it was given.

    Raises:
        SaidOnce: Another process gave it.
    """
    from cryptography.exceptions import InvalidTag  # noqa: PLC0415  as above

    kept = b64decode(answered.body)
    nonce, hidden = kept[:NONCE_BYTES], kept[NONCE_BYTES:]
    try:
        body = _seal().decrypt(nonce, hidden, answered.asked.encode())
    except InvalidTag:
        raise SaidOnce(GONE) from None
    return replace(answered, body=body.decode())
