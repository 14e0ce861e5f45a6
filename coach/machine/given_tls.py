"""TLS with a certificate that was given: loaded from its files, and again when they have changed."""

from __future__ import annotations

import ssl
from typing import TYPE_CHECKING

from coach.errors import NotReady

if TYPE_CHECKING:
    from pathlib import Path


class GivenTls:
    """What a hosted service needs to speak TLS by itself.

    Args:
        certificate: The file with the certificate and what leads to its authority.
        key: The file with its key.

    Attributes:
        context: For the listening socket; connections begun after a renewal are shown the new certificate.

    Raises:
        NotReady: One of them cannot be read or used.
    """

    def __init__(self, certificate: Path, key: Path) -> None:
        self._files = (certificate, key)
        self.context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        self.context.minimum_version = ssl.TLSVersion.TLSv1_2
        self.context.set_alpn_protocols(["http/1.1"])
        self._loaded = self._state()
        self._load(self.context)

    def renew(self) -> bool:
        """Load the files anew if they have changed; what is in use stays where they cannot be used.

        Returns:
            Whether they were loaded.

        Raises:
            NotReady: They have changed, and cannot be used.
        """
        state = self._state()
        if state == self._loaded:
            return False
        # A certificate whose key is still being written must not take the place of one that fits.
        self._load(ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER))
        self._load(self.context)
        self._loaded = state
        return True

    def _state(self) -> tuple[tuple[int, int], ...]:
        try:
            return tuple((seen.st_mtime_ns, seen.st_size) for seen in (one.stat() for one in self._files))
        except OSError as error:
            raise NotReady(f"{error.filename} cannot be read: {error.strerror}.") from error

    def _load(self, context: ssl.SSLContext) -> None:
        certificate, key = self._files
        try:
            # Without a password nobody is asked for one at a terminal: a key that has one is refused.
            context.load_cert_chain(certificate, key, password=lambda: "")
        except (OSError, ssl.SSLError, ValueError) as error:
            raise NotReady(
                f"The certificate in {certificate} and the key in {key} cannot be used: {error}. They have "
                "to be PEM files that belong together, the key without a password."
            ) from error
