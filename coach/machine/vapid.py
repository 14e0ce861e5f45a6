"""Who we are to a push service: a key of our own and what it signs for each service (VAPID, RFC 8292)."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from coach.errors import Malformed
from coach.machine import base64url, outside

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric import ec

KEY_BYTES = 32
"""A private key of P-256: one number."""

HALF_DAY = timedelta(hours=12)
"""How long one token is used: some services take it ill when it is renewed more than once an hour."""

GOOD_FOR = timedelta(hours=23)
"""From the beginning of that: RFC 8292 §2 allows 24 hours, and clocks differ."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def new_key() -> str:
    """A key, to be kept for good: another one would end every subscription there is."""
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415  of use only where push is on

    number = ec.generate_private_key(ec.SECP256R1()).private_numbers().private_value
    return base64url.written(number.to_bytes(KEY_BYTES, "big"))


def public_key(text: str) -> str:
    """What a browser is given to subscribe with: the point of a kept key, base64url.

    Raises:
        Malformed: That is no key.
    """
    from cryptography.hazmat.primitives import serialization  # noqa: PLC0415

    form = serialization.Encoding.X962, serialization.PublicFormat.UncompressedPoint
    return base64url.written(_private(text).public_key().public_bytes(*form))


def contact_fault(contact: str) -> str:
    """Why a push service would not take this as the way to reach us, in words; empty where it would.

    Services refuse what names no domain of the internet, such as `mailto:me@localhost`.
    """
    scheme, _, rest = contact.partition(":")
    if scheme == "mailto":
        name = rest.rpartition("@")[2] if rest.count("@") == 1 and not rest.startswith("@") else ""
    else:
        name = _host(contact) if scheme == "https" else ""
    if not contact.isascii() or not contact.isprintable() or " " in contact or not name:
        return "It has to be an address such as mailto:me@home.example or https://home.example."
    return outside.name_fault(name)


def _host(address: str) -> str:
    try:
        return urlsplit(address).hostname or ""
    except ValueError:
        return ""


def authorization(text: str, endpoint: str, now: datetime, contact: str) -> str:
    """The header that goes with each message to a push service: the token, and the key to check it by.

    The token is the same for half a day for one service, whichever process makes it.

    Args:
        text: The kept key.
        endpoint: Where the message goes; the token is good for its origin alone.
        now: Aware.
        contact: How to reach whoever runs this service: a `mailto:` or `https:` address.

    Raises:
        Malformed: That is no key.
    """
    began = _EPOCH + (now - _EPOCH) // HALF_DAY * HALF_DAY
    until = int((began + GOOD_FOR).timestamp())
    return _signed(text, _origin(endpoint), until, contact)


def _origin(address: str) -> str:
    """The origin of an address as RFC 6454 §6.1 writes it, without the port that https has anyway."""
    parts = urlsplit(address)
    port = "" if parts.port in {None, outside.HTTPS} else f":{parts.port}"
    return f"{parts.scheme}://{parts.hostname}{port}"


@lru_cache(maxsize=64)
def _signed(text: str, audience: str, until: int, contact: str) -> str:
    """The header with its token, a JSON web token signed by ES256 (RFC 7518 §3.4)."""
    from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature  # noqa: PLC0415

    head: dict[str, object] = {"typ": "JWT", "alg": "ES256"}
    claims: dict[str, object] = {"aud": audience, "exp": until, "sub": contact}
    said = ".".join(_as_part(part) for part in (head, claims))
    two = decode_dss_signature(_private(text).sign(said.encode(), _method()))
    signature = b"".join(number.to_bytes(KEY_BYTES, "big") for number in two)
    return f"vapid t={said}.{base64url.written(signature)}, k={public_key(text)}"


def _method() -> ec.ECDSA:
    """Without chance in it (RFC 6979) where OpenSSL knows how, so that every process signs the same."""
    from cryptography.exceptions import UnsupportedAlgorithm  # noqa: PLC0415
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415

    try:
        return ec.ECDSA(hashes.SHA256(), deterministic_signing=True)
    except UnsupportedAlgorithm:
        return ec.ECDSA(hashes.SHA256())


def _as_part(value: dict[str, object]) -> str:
    return base64url.written(json.dumps(value, separators=(",", ":")).encode())


def _private(text: str) -> ec.EllipticCurvePrivateKey:
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415

    number = int.from_bytes(base64url.read(text, "The key for push"), "big")
    try:
        return ec.derive_private_key(number, ec.SECP256R1())
    except ValueError:
        raise Malformed("What is kept as the key for push is no private key of the curve P-256.") from None
