"""The headers that every answer carries, wherever it was made."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; object-src 'none'; "
    "frame-ancestors 'none'"
)
# Not `no-referrer`: with it browsers would send `Origin: null` with our own forms.
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
SECURE_FOR = b"max-age=31536000"
"""For a year a browser asks this host by https alone (RFC 6797); other names of its domain are not ours."""

_RAW = [(name.encode(), value.encode()) for name, value in HEADERS.items()]
_NOT_KEPT = (b"cache-control", b"no-store")


def with_ours(
    headers: Iterable[tuple[bytes, bytes]], *, is_secure: bool = False
) -> list[tuple[bytes, bytes]]:
    """An answer's headers with those of every answer; what does not say so itself is not kept anywhere.

    Args:
        headers: What the answer has already.
        is_secure: Whether browsers are to ask by https alone from now on. Not at home, where the certificate
            may be made anew and whoever was told so would be locked out.
    """
    theirs = list(headers)
    if not any(name.lower() == b"cache-control" for name, _ in theirs):
        theirs.append(_NOT_KEPT)
    return [*theirs, *_RAW, *([(b"strict-transport-security", SECURE_FOR)] if is_secure else [])]
