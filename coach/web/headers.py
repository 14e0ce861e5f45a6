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
_RAW = [(name.encode(), value.encode()) for name, value in HEADERS.items()]
_NOT_KEPT = (b"cache-control", b"no-store")


def with_ours(headers: Iterable[tuple[bytes, bytes]]) -> list[tuple[bytes, bytes]]:
    """An answer's headers with those of every answer; what does not say so itself is not kept anywhere."""
    theirs = list(headers)
    if not any(name.lower() == b"cache-control" for name, _ in theirs):
        theirs.append(_NOT_KEPT)
    return theirs + _RAW
