"""TLS at home: the authority, the certificate it signed, and the context that shows it."""

from __future__ import annotations

import ssl
from typing import TYPE_CHECKING

from coach.errors import NotReady
from coach.machine import authority, leaf

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime
    from pathlib import Path

    from coach.machine.addresses import Address


class HouseholdTls:
    """What a service at home needs to speak TLS.

    Args:
        folder: Where authority and certificate are kept; both are made if they are not there.
        found: The machine's private addresses.
        now: The machine's time.

    Attributes:
        authority: What phones are asked to trust.
        leaf: The certificate shown at present.
        context: For the listening socket; connections begun after a renewal are shown the new certificate.

    Raises:
        NotReady: Something has to be mended first.
    """

    def __init__(self, folder: Path, found: Iterable[Address], now: datetime) -> None:
        self.authority = authority.open_or_make(folder, now)
        self.leaf, _ = leaf.current(self.authority, found, now)
        self.context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        self.context.minimum_version = ssl.TLSVersion.TLSv1_2
        self.context.set_alpn_protocols(["http/1.1"])
        self._load()

    def renew(self, found: Iterable[Address], now: datetime) -> str | None:
        """Make the certificate anew if that is due, and show it from the next connection on.

        Returns:
            Why it was due, in words that follow “because”; None if it was not.

        Raises:
            NotReady: It cannot be written; the one in use stays.
        """
        shown, reason = leaf.current(self.authority, found, now)
        # Another process of the same household may have renewed the file.
        if shown.certificate != self.leaf.certificate:
            self.leaf = shown
            self._load()
        return reason

    def _load(self) -> None:
        try:
            self.context.load_cert_chain(self.leaf.path)
        except (OSError, ssl.SSLError) as error:
            raise NotReady(
                f"The certificate in {self.leaf.path} cannot be used: {error}. Delete the file; the next "
                "start makes another, which no phone has to be told of."
            ) from error
