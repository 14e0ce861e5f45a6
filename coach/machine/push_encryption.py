"""Messages that only the browser they are for can read: RFC 8291, on the coding `aes128gcm` of RFC 8188."""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.errors import Malformed
from coach.machine import base64url

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric import ec

POINT_BYTES = 65
"""A point of P-256, uncompressed (RFC 8291 §3.1)."""

AUTH_BYTES = SALT_BYTES = 16
"""The browser's secret, and the salt of a message."""

RECORD_BYTES = 4096
"""The whole message as every push service has to take it (RFC 8291 §4, RFC 8030 §7.2)."""

_HEADER_BYTES = SALT_BYTES + 4 + 1 + POINT_BYTES
_TAG_BYTES = 16

MOST_BYTES = RECORD_BYTES - _HEADER_BYTES - _TAG_BYTES - 1
"""What a message may hold before it is encrypted."""

LAST_RECORD = b"\x02"
"""What stands between the words and the padding of the last record (RFC 8188 §2)."""


@dataclass(frozen=True, slots=True)
class Recipient:
    """What a browser gave when it subscribed.

    Attributes:
        key: Its public key (p256dh), a point of P-256.
        auth: The secret it shares with us.
    """

    key: bytes
    auth: bytes


def recipient(key: str, auth: str) -> Recipient:
    """A recipient out of a subscription's two keys, base64url.

    Raises:
        Malformed: They are no such keys.
    """
    found = Recipient(base64url.read(key, "The browser's key"), base64url.read(auth, "The browser's secret"))
    if len(found.key) != POINT_BYTES or len(found.auth) != AUTH_BYTES:
        raise Malformed(f"A browser's key has {POINT_BYTES} bytes, and its secret {AUTH_BYTES}.")
    _point(found.key)
    return found


def encrypted(message: bytes, whom: Recipient, padded_to: int = 0) -> bytes:
    """The body of a push message, with a key and a salt of its own.

    Args:
        message: At most `MOST_BYTES`.
        whom: Whose browser reads it.
        padded_to: How long it is made at least, so that its length tells nothing of it.
    """
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415  of use only where push is on

    return sealed(
        message + LAST_RECORD + b"\0" * max(0, padded_to - len(message)),
        whom,
        ec.generate_private_key(ec.SECP256R1()),
        secrets.token_bytes(SALT_BYTES),
    )


def sealed(record: bytes, whom: Recipient, key: ec.EllipticCurvePrivateKey, salt: bytes) -> bytes:
    """The same with the key and the salt given, as the standard's example needs it (RFC 8291 §3.4).

    Raises:
        Malformed: It is too long.
    """
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM  # noqa: PLC0415

    if len(record) > MOST_BYTES + len(LAST_RECORD):
        raise Malformed(f"A push message holds at most {MOST_BYTES} bytes, and this one {len(record) - 1}.")
    ours = _written(key.public_key())
    shared = key.exchange(ec.ECDH(), _point(whom.key))
    secret = _derived(whom.auth, shared, b"WebPush: info\0" + whom.key + ours, 32)
    content_key = _derived(salt, secret, b"Content-Encoding: aes128gcm\0", 16)
    nonce = _derived(salt, secret, b"Content-Encoding: nonce\0", 12)
    header = salt + RECORD_BYTES.to_bytes(4, "big") + bytes([POINT_BYTES]) + ours
    return header + AESGCM(content_key).encrypt(nonce, record, None)


def _derived(salt: bytes, secret: bytes, info: bytes, length: int) -> bytes:
    """HKDF with SHA-256 (RFC 5869), as far as one block of it goes."""
    extracted = hmac.digest(salt, secret, "sha256")
    return hmac.digest(extracted, info + b"\x01", "sha256")[:length]


def _written(key: ec.EllipticCurvePublicKey) -> bytes:
    from cryptography.hazmat.primitives import serialization  # noqa: PLC0415

    return key.public_bytes(serialization.Encoding.X962, serialization.PublicFormat.UncompressedPoint)


def _point(raw: bytes) -> ec.EllipticCurvePublicKey:
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415

    try:
        return ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), raw)
    except ValueError:
        raise Malformed("The browser's key is no point of the curve P-256.") from None
